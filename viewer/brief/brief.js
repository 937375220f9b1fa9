// Boxes that stay ticked, and one view at a time that turns under a finger. Nothing is loaded from elsewhere.
"use strict";

const sheet = document.documentElement.dataset.sheet;

function stored(key, value) {
  // A browser may refuse to store anything for a file: then a tick lasts as long as the page.
  try {
    if (value === undefined) return localStorage.getItem(key);
    localStorage.setItem(key, value);
  } catch (refused) {
    return null;
  }
  return value;
}

for (const box of document.querySelectorAll(".checks input")) {
  const key = `pierclear ${sheet} ${box.id}`;
  box.checked = stored(key) === "1";
  box.addEventListener("change", () => stored(key, box.checked ? "1" : "0"));
}

const page = JSON.parse(document.getElementById("viewer").textContent);
const solids = JSON.parse(document.getElementById("solids").textContent);
let open = null;

// A browser keeps few views in space alive at once: the one before is let go of.
function close() {
  if (open === null) return;
  const frame = open.querySelector("iframe");
  open.querySelector("button").hidden = false;
  open = null;
  const { renderer } = frame.contentWindow;
  if (renderer) renderer.forceContextLoss();
  frame.remove();
}

function show(view) {
  if (view === open) return;
  close();
  const frame = document.createElement("iframe");
  frame.title = `${view.dataset.pier}, turns under a finger`;
  frame.srcdoc = page.replace(solids.stands, () => solids.blobs[solids.which[view.dataset.pier]]);
  frame.addEventListener("load", () => {
    if (view !== open) return;
    const { renderer } = frame.contentWindow;
    if (!renderer) without();
    // The phone may take the view back when it is short of memory: then the button to open it returns.
    else renderer.domElement.addEventListener("webglcontextlost", () => frame.isConnected && close());
  });
  view.querySelector("button").hidden = true;
  view.append(frame);
  open = view;
}

const views = document.querySelectorAll(".turning");

// The sentence that the file was written with comes back.
function without() {
  close();
  for (const view of views) view.classList.remove("ready");
}

function drawn() {
  const trial = document.createElement("canvas");
  const pen = trial.getContext("webgl2") || trial.getContext("webgl");
  const loss = pen && pen.getExtension("WEBGL_lose_context");
  if (loss) loss.loseContext();
  return pen !== null;
}

function showTapped() {
  const card = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const view = card && card.querySelector(".turning.ready");
  if (view) show(view);
}

if (page !== null && views.length && drawn()) {
  for (const view of views) {
    view.classList.add("ready");
    view.querySelector("button").addEventListener("click", () => show(view));
  }
  window.addEventListener("hashchange", showTapped);
  showTapped();
}
