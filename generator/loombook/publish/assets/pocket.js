// The colours chosen last time; where the file may keep nothing, as on some phones, the choice lasts until it is closed.
(() => {
  const KEY = "loombook-colours";
  const choices = [...document.querySelectorAll("input[name=lb-scheme]")];
  let kept = null;
  try { kept = localStorage.getItem(KEY); } catch (error) { /* a file from a message may have no store */ }
  const chosen = choices.find((choice) => choice.value === kept);
  if (chosen) chosen.checked = true;
  choices.forEach((choice) => choice.addEventListener("change", () => {
    try { localStorage.setItem(KEY, choice.value); } catch (error) { /* as above */ }
  }));
})();
