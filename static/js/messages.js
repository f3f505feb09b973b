// @ts-check
/**
 * The envelope between a host page's loader and the framed page. Both sides send to an exact origin, check origin and source of
 * what they hear, and ignore every type they don't know.
 *
 * | type | from | payload |
 * | --- | --- | --- |
 * | `ready` | frame | `{step, title}` |
 * | `refused` | frame | `{}`: the site is not listed |
 * | `at` | frame | `{address}`: the plan at hand, to come back to |
 * | `size` | frame | `{height}` in CSS pixels |
 * | `show` | frame | `{top}`: bring this place into view |
 * | `estimate` | frame | `{currency, low, typical, high, days_off_road: {typical, high}}`, money as decimal strings |
 * | `submitted` | frame | `{reference}` |
 * | `error` | frame | `{code}` |
 * | `strip` | host | `{top, bottom, fixed}`: the part of the frame that can be seen |
 * | `look` | host | `{lang, theme, accent, radius, font, fixed}` |
 */
export const PROTOCOL = "tuckline";
export const VERSION = 1;

/** @param {string} type @param {object} payload */
export function envelope(type, payload) {
  return { protocol: PROTOCOL, version: VERSION, type, payload };
}

/** The type and payload of a message meant for us, or null. @param {unknown} data */
export function opened(data) {
  const { protocol, version, type, payload } = Object(data);
  const ours = protocol === PROTOCOL && version === VERSION && typeof type === "string" && typeof payload === "object" && payload !== null;
  return ours ? { type, payload } : null;
}
