"""What each page says, neutral to the site builder; one module and one template a kind of page."""
