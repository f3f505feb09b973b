// @ts-check
/** Placing with a script: arrow keys and clicks move the block that is looked at, the server says whether it may be there.
 * Without it the form beside the week does the same. */

const STEP = 30;
const WAIT_MS = 180;

let asked = 0;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

prepare();
document.addEventListener("keydown", onKey);
document.addEventListener("click", onClick);

/** The block takes the focus, and the hint how to move it shows. */
function prepare() {
  const block = document.getElementById("looked-at");
  if (block) block.tabIndex = 0;
  document.getElementById("arrows")?.removeAttribute("hidden");
}

/** @param {KeyboardEvent} event */
function onKey(event) {
  if (!(event.target instanceof HTMLElement) || event.target.id !== "looked-at") return;
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Enter") {
    document.getElementById("place-it")?.focus();
    event.preventDefault();
    return;
  }
  const forward = document.dir === "rtl" ? "ArrowLeft" : "ArrowRight";
  const sideways = { [forward]: 1, [forward === "ArrowRight" ? "ArrowLeft" : "ArrowRight"]: -1 }[event.key];
  if (sideways && event.shiftKey) moveDay(sideways);
  else if (sideways) moveTime(sideways * STEP);
  else if (event.key === "ArrowUp" || event.key === "ArrowDown") moveBay(event.key === "ArrowUp" ? -1 : 1);
  else return;
  event.preventDefault();
}

/** A click into the free part of a lane looks at that time.
 * @param {MouseEvent} event */
function onClick(event) {
  const target = event.target instanceof Element ? event.target : null;
  const lane = target?.closest("[data-lane]");
  if (!lane || target?.closest(".cal-bar") || !document.getElementById("place-live")) return;
  const day = [.../** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-day]"))].find((each) => {
    const box = each.getBoundingClientRect();
    return box.left <= event.clientX && event.clientX < box.right;
  });
  if (!day) return;
  const box = day.getBoundingClientRect();
  const share = (event.clientX - box.left) / box.width;
  const { opens, closes } = hours();
  const minutes = opens + (document.dir === "rtl" ? 1 - share : share) * (closes - opens);
  field("day").value = day.dataset.day ?? "";
  field("time").value = clock(Math.max(opens, Math.floor(minutes / STEP) * STEP));
  field("bay").value = /** @type {HTMLElement} */ (lane).dataset.lane ?? "";
  look();
}

/** @param {number} days */
function moveDay(days) {
  const day = new Date(`${field("day").value}T00:00:00Z`);
  day.setUTCDate(day.getUTCDate() + days);
  field("day").value = day.toISOString().slice(0, 10);
  look();
}

/** Steps over the night: after the closing comes the next day's opening.
 * @param {number} by */
function moveTime(by) {
  const { opens, closes } = hours();
  const [hour, minute] = field("time").value.split(":").map(Number);
  const then = hour * 60 + minute + by;
  field("time").value = clock(then >= closes ? opens : then < opens ? closes - STEP : then);
  if (then >= closes) moveDay(1);
  else if (then < opens) moveDay(-1);
  else look();
}

/** @param {number} by */
function moveBay(by) {
  const bay = /** @type {HTMLSelectElement} */ (document.getElementById("bay"));
  bay.selectedIndex = Math.min(Math.max(bay.selectedIndex + by, 0), bay.options.length - 1);
  look();
}

/** Asks the server once the keys rest for a moment; an answer that comes too late is dropped. */
function look() {
  clearTimeout(timer);
  const mine = ++asked;
  timer = setTimeout(() => void show(mine), WAIT_MS);
}

/** @param {number} mine */
async function show(mine) {
  const form = /** @type {HTMLFormElement} */ (document.getElementById("place-other"));
  const query = new URLSearchParams(/** @type {any} */ (new FormData(form)));
  const address = `${form.action}?${query}`;
  document.getElementById("cal-week")?.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(address);
    if (answer.redirected || !answer.ok) throw new Error(String(answer.status));
    const text = await answer.text();
    if (mine !== asked) return;
    takeOver(text);
    history.replaceState(null, "", address);
  } catch {
    if (mine === asked) location.assign(address);
  }
}

/** Puts the server's page in the place of ours, with the focus on the block, and says what it says. Its style element is taken out
 * first: under our page's policy it would be refused, loudly.
 * @param {string} text */
function takeOver(text) {
  let rules = "";
  const plain = text.replace(/<style nonce="[^"]*">([^<]*)<\/style>/, (_, inner) => ((rules = inner), ""));
  const fresh = new DOMParser().parseFromString(plain, "text/html").getElementById("main");
  const main = document.getElementById("main");
  if (!fresh || !main) return;
  main.replaceChildren(...fresh.childNodes);
  layOut(rules);
  prepare();
  document.getElementById("looked-at")?.focus({ preventScroll: true });
  const said = document.getElementById("said");
  if (said) said.textContent = document.querySelector("#place-verdict .dk-note")?.textContent?.replace(/\s+/g, " ").trim() ?? "";
}

/** Sets the positions that the page's own style element would: another page's nonce doesn't count here.
 * @param {string} rules */
function layOut(rules) {
  for (const [, selector, body] of rules.matchAll(/([^{}]+)\{([^{}]*)\}/g)) {
    for (const element of document.querySelectorAll(selector.trim())) {
      for (const declaration of body.split(";").filter(Boolean)) {
        const [name, value] = declaration.split(":");
        /** @type {HTMLElement} */ (element).style.setProperty(name, value);
      }
    }
  }
}

function hours() {
  const { opens, closes } = document.getElementById("place-live")?.dataset ?? {};
  return { opens: minutesOf(opens ?? "00:00"), closes: minutesOf(closes ?? "24:00") };
}

/** @param {string} text */
function minutesOf(text) {
  const [hour, minute] = text.split(":").map(Number);
  return hour * 60 + minute;
}

/** @param {number} minutes */
function clock(minutes) {
  return `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
}

/** @param {string} id */
function field(id) {
  return /** @type {HTMLInputElement} */ (document.getElementById(id));
}
