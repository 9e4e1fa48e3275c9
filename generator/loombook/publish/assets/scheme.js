// Before the first paint: whoever has chosen no colours yet, on a device set to dark, gets no white flash at night.
new MutationObserver((_, observer) => {
  if (!document.body) return;
  observer.disconnect();
  let chosen = null;
  try { chosen = __md_get("__palette"); } catch (error) { /* no storage: as if nothing was chosen */ }
  if (!chosen && matchMedia("(prefers-color-scheme: dark)").matches) {
    document.body.setAttribute("data-md-color-scheme", "slate");
  }
}).observe(document.documentElement, { childList: true });
