// @ts-check
/** On the page for a site that isn't listed: tells the page around it that this is the answer, and how high it is. Nothing else. */
import { envelope } from "./messages.js";

const page = document.querySelector("[data-refused-site]");
const site = page?.getAttribute("data-refused-site") ?? "";
if (page && site && window.parent !== window) {
  window.parent.postMessage(envelope("refused", {}), site);
  window.parent.postMessage(envelope("size", { height: Math.ceil(document.documentElement.getBoundingClientRect().height) }), site);
}
