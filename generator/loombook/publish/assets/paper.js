// Opens what is folded away before printing, and folds it again afterwards: paper has no clicks.
(() => {
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details:not([open])")];
    opened.forEach((details) => { details.open = true; });
  });
  addEventListener("afterprint", () => {
    opened.forEach((details) => { details.open = false; });
    opened = [];
  });
})();
