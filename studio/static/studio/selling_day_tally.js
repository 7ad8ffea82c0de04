// A tap on air shows at once and is sent behind; what could not be sent is tried again.
// Each tap carries the whole number so far, so the newest one is enough for a line.
"use strict";

const list = document.querySelector(".tally");
const waiting = new Map();
const opened = Date.now();
const notice = document.querySelector(".tally-waiting");
let sending = false;

function minuteNow() {
  const since = Math.floor((Date.now() - opened) / 60000);
  return Math.min(Number(list.dataset.minute) + since, Number(list.dataset.lasts));
}

function show(line, gone) {
  const before = Number(line.querySelector("[data-gone]").textContent);
  line.querySelector("[data-gone]").textContent = String(gone);
  const left = line.querySelector("[data-left]");
  if (left !== null) {
    left.textContent = String(Math.max(0, Number(left.textContent) - (gone - before)));
  }
  for (const form of line.querySelectorAll("form[data-step]")) {
    form.elements.gone.value = String(gone + Number(form.dataset.step));
  }
}

// A number that was refused must be seen: the page it came with says why.
function tellRefusal(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const refused = page.querySelector(".messages .notice-seen");
  if (refused !== null) {
    document.querySelector(".messages").append(document.importNode(refused, true));
    window.scrollTo(0, 0);
  }
}

async function sendWaiting() {
  if (sending) {
    return;
  }
  sending = true;
  for (const [url, data] of [...waiting]) {
    try {
      const answer = await fetch(url, { method: "POST", body: data });
      if (answer.ok && waiting.get(url) === data) {
        waiting.delete(url);
      }
      tellRefusal(await answer.text());
    } catch {
      break;
    }
  }
  sending = false;
  notice.hidden = waiting.size === 0;
}

list?.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-step]");
  if (form === null) {
    return;
  }
  event.preventDefault();
  event.stopPropagation();
  const gone = Number(form.elements.gone.value);
  const data = new FormData(form);
  data.set("minute", String(minuteNow()));
  waiting.set(form.action, data);
  show(form.closest(".tally-line"), gone);
  sendWaiting();
});

setInterval(sendWaiting, 3000);
window.addEventListener("beforeunload", (event) => {
  if (waiting.size > 0) {
    event.preventDefault();
  }
});
