// @ts-check
/** The quote's page with the keyboard: Ctrl Enter goes on to sending, Esc leaves a line that is being changed. Both also have a button. */

document.addEventListener("keydown", (event) => {
  if (document.body.dataset.keys !== "on") return;
  const wanted = event.key === "Enter" && (event.ctrlKey || event.metaKey) ? "[data-send]" : event.key === "Escape" ? "[data-leave]" : "";
  const target = wanted ? document.querySelector(wanted) : null;
  if (!(target instanceof HTMLElement)) return;
  event.preventDefault();
  target.click();
});
