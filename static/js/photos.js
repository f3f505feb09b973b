// @ts-check
/** Photos with a script: several at once, one request each, with their progress; arrow keys from photo to photo. All of it also works without. */

for (const form of document.querySelectorAll("form[data-photo-form]")) takeSeveral(/** @type {HTMLFormElement} */ (form));
document.addEventListener("keydown", onArrow);

/** @param {HTMLFormElement} form */
function takeSeveral(form) {
  const input = form.querySelector("input[type=file]");
  if (!(input instanceof HTMLInputElement)) return;
  const caption = form.querySelector("[data-photo-caption]");
  input.multiple = true;
  input.addEventListener("change", () => caption?.toggleAttribute("hidden", (input.files?.length ?? 0) > 1));
  form.addEventListener("submit", (event) => {
    if (!input.files?.length) return;
    event.preventDefault();
    void sendAll(form, input);
  });
}

/** Sends what fits, one after the other; the page is loaded anew when all of it went, and stays with what didn't.
 * @param {HTMLFormElement} form
 * @param {HTMLInputElement} input */
async function sendAll(form, input) {
  const news = form.querySelector("[data-photo-news]");
  const button = form.querySelector("button");
  if (!news || !button || button.getAttribute("aria-disabled") === "true") return;
  const left = Number(form.dataset.left), largest = Number(form.dataset.largest);
  const files = [...(input.files ?? [])];
  news.replaceChildren();
  button.setAttribute("aria-disabled", "true");
  let failed = files.length > left;
  if (failed) tell(news, form.dataset.textMany ?? "", "failed");
  for (const file of files.slice(0, left)) {
    if (file.size > largest) {
      tell(news, named(form.dataset.textLarge, file), "failed");
      failed = true;
      continue;
    }
    const line = tell(news, named(form.dataset.textGoing, file), "going");
    const fault = await send(form, input, file, line);
    if (fault === null) line.remove();
    else {
      failed = true;
      line.dataset.state = "failed";
      line.textContent = fault || named(form.dataset.textFailed, file);
    }
  }
  button.removeAttribute("aria-disabled");
  input.value = "";
  if (!failed) location.reload();
}

/** One photo; null when it was taken, else what is wrong with it (empty when nobody said).
 * @param {HTMLFormElement} form
 * @param {HTMLInputElement} input
 * @param {File} file
 * @param {HTMLElement} line
 * @returns {Promise<string | null>} */
function send(form, input, file, line) {
  const fields = new FormData(form);
  fields.delete(input.name);
  fields.append(input.name, file);
  const bar = document.createElement("progress");
  bar.max = file.size;
  bar.value = 0;
  bar.setAttribute("aria-label", file.name);
  line.append(bar);
  const request = new XMLHttpRequest();
  request.upload.addEventListener("progress", (event) => (bar.value = event.loaded));
  return new Promise((resolve) => {
    request.addEventListener("error", () => resolve(""));
    request.addEventListener("load", () => resolve(request.status < 400 ? null : wrongWith(request)));
    request.open("POST", form.action);
    request.setRequestHeader("Accept", "application/json");
    request.send(fields);
  });
}

/** @param {XMLHttpRequest} request */
function wrongWith(request) {
  try {
    const problem = JSON.parse(request.responseText);
    return String(problem.errors?.[0]?.message ?? problem.title ?? "");
  } catch {
    return "";
  }
}

/** @param {Element} news
 * @param {string} text
 * @param {string} state */
function tell(news, text, state) {
  const line = document.createElement("li");
  line.textContent = text;
  line.dataset.state = state;
  news.append(line);
  return line;
}

/** @param {string | undefined} text
 * @param {File} file */
function named(text, file) {
  return (text ?? "").replace("{name}", file.name);
}

/** @param {KeyboardEvent} event */
function onArrow(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || (event.target instanceof HTMLElement && event.target.matches("input, textarea, select"))) return;
  const link = document.querySelector(`[data-photo-step="${CSS.escape(event.key)}"]`);
  if (link instanceof HTMLElement) link.click();
}
