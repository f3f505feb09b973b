// @ts-check
/** Registers an element once; a second script with the same name does no harm. @param {string} name @param {CustomElementConstructor} element */
export function define(name, element) {
  if (!customElements.get(name)) customElements.define(name, element);
}
