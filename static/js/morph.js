// @ts-check
/**
 * Makes a live part of the page look like a fresh one from the server, keeping the nodes that are already there: focus,
 * scroll, open details and what a person is typing stay as they are.
 */

/**
 * @param {Element} live part of the page
 * @param {Element} fresh the same part as the server would now send it
 * @param {{busy?: Set<Element>}} [options] `busy`: controls that were touched since the request left; their state is kept
 */
export function morph(live, fresh, { busy = new Set() } = {}) {
  const focused = document.activeElement;
  const focusedId = focused?.id;
  morphElement(live, fresh);
  settleControls(live, busy);
  if (focusedId && focused !== document.activeElement) document.getElementById(focusedId)?.focus({ preventScroll: true });
}

/** @param {Node} node */
function keyOf(node) {
  if (!(node instanceof Element)) return "";
  return node.id || node.getAttribute("data-key") || "";
}

/** @param {Element} live @param {Element} fresh */
function morphElement(live, fresh) {
  if (live.hasAttribute("data-own")) return;
  const digest = fresh.getAttribute("data-drawing");
  if (digest && live.getAttribute("data-drawing") === digest) return;
  morphAttributes(live, fresh);
  morphChildren(live, fresh);
}

/** @param {Element} live @param {Element} fresh */
function morphAttributes(live, fresh) {
  for (const { name, value } of fresh.attributes) {
    if (live.getAttribute(name) !== value) live.setAttribute(name, value);
  }
  for (const { name } of [...live.attributes]) {
    if (!fresh.hasAttribute(name) && !keeps(live, name)) live.removeAttribute(name);
  }
}

/** An open explanation stays open. @param {Element} live @param {string} name */
function keeps(live, name) {
  return name === "open" && live.localName === "details";
}

/** @param {Element} live @param {Element} fresh */
function morphChildren(live, fresh) {
  const keyed = new Map([...live.children].filter(keyOf).map((child) => [keyOf(child), child]));
  let cursor = live.firstChild;
  for (const wanted of [...fresh.childNodes]) {
    const match = matchFor(wanted, cursor, keyed);
    if (!match) {
      live.insertBefore(document.importNode(wanted, true), cursor);
      continue;
    }
    if (match === cursor) cursor = cursor.nextSibling;
    else live.insertBefore(match, cursor);
    morphNode(match, wanted);
  }
  while (cursor) {
    const next = cursor.nextSibling;
    cursor.remove();
    cursor = next;
  }
}

/** @param {Node} wanted @param {ChildNode | null} cursor @param {Map<string, Element>} keyed */
function matchFor(wanted, cursor, keyed) {
  const key = keyOf(wanted);
  if (key) {
    const found = keyed.get(key);
    keyed.delete(key);
    return found && found.nodeName === wanted.nodeName ? found : null;
  }
  return cursor && cursor.nodeName === wanted.nodeName && !keyOf(cursor) ? cursor : null;
}

/** @param {Node} live @param {Node} wanted */
function morphNode(live, wanted) {
  if (live instanceof Element && wanted instanceof Element) morphElement(live, wanted);
  else if (live.nodeValue !== wanted.nodeValue) live.nodeValue = wanted.nodeValue;
}

/** The attributes are right by now; the controls' own state follows them. @param {Element} live @param {Set<Element>} busy */
function settleControls(live, busy) {
  for (const control of live.querySelectorAll("input, textarea, select")) {
    if (busy.has(control)) continue;
    if (control instanceof HTMLSelectElement) settleSelect(control);
    else if (control instanceof HTMLTextAreaElement) settleText(control);
    else if (control instanceof HTMLInputElement && ["checkbox", "radio"].includes(control.type)) control.checked = control.defaultChecked;
    else if (control instanceof HTMLInputElement && control.type !== "file") settleText(control);
  }
}

/** @param {HTMLInputElement | HTMLTextAreaElement} control */
function settleText(control) {
  if (control.value !== control.defaultValue && control !== document.activeElement) control.value = control.defaultValue;
}

/** @param {HTMLSelectElement} control */
function settleSelect(control) {
  const chosen = [...control.options].findIndex((option) => option.defaultSelected);
  if (chosen >= 0 && control.selectedIndex !== chosen) control.selectedIndex = chosen;
}
