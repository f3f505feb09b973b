// @ts-check
/**
 * `<cfg-share data-copied="...">`: the plan is its address, so saving and sharing is copying a link. Where copying isn't allowed,
 * and without script, the link opens the plan's own address, to be bookmarked.
 */
export class ShareElement extends HTMLElement {
  connectedCallback() {
    this.addEventListener("click", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    const link = event.target instanceof Element ? event.target.closest("a[data-share]") : null;
    if (!(link instanceof HTMLAnchorElement) || !navigator.clipboard) return;
    event.preventDefault();
    navigator.clipboard.writeText(link.href).then(
      () => this.#say(this.dataset.copied ?? ""),
      () => window.open(link.href, "_blank", "noopener"),
    );
  }

  /** @param {string} text */
  #say(text) {
    const status = this.querySelector("[data-shared]");
    if (status) status.textContent = text;
  }
}
