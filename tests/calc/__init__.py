"""What must hold for every figure, and cases solved by hand."""
