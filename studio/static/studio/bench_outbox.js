// Keeps what was pressed at the bench until the studio has it. Each press has a key of
// its own in this browser, so that two open pages cannot overwrite each other, and a
// number of its own, so that the studio counts it once however often it is sent.
"use strict";

const benchOutbox = (() => {
  const WAITS = "bench-post:waits:";
  const SENT = "bench-post:sent:";
  const LOOK = "bench-post:look:";
  const FIRST_WAIT_MS = 1000;
  const LONGEST_WAIT_MS = 60000;
  const ANSWER_WITHIN_MS = 15000;
  const KEPT_SENT_MS = 24 * 60 * 60 * 1000;

  const place = document.querySelector("[data-log-url]");
  const listeners = [];
  let isSending = false;
  let isSignedOut = false;
  let waitMs = FIRST_WAIT_MS;
  let timer = null;
  let lastMoment = 0;

  // crypto.randomUUID is missing on a plain home network; getRandomValues is not.
  function newId() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return [8, 12, 16, 20].reduceRight(
      (text, at) => `${text.slice(0, at)}-${text.slice(at)}`,
      hex,
    );
  }

  function moment() {
    lastMoment = Math.max(Date.now(), lastMoment + 1);
    return lastMoment;
  }

  function keyOf(press) {
    return `${String(press.pressed).padStart(15, "0")}:${press.request_id}`;
  }

  function list(prefix) {
    const keys = [];
    for (let n = 0; n < localStorage.length; n += 1) {
      const key = localStorage.key(n);
      if (key.startsWith(prefix)) {
        keys.push(key);
      }
    }
    return keys.sort().flatMap((key) => read(key));
  }

  function read(key) {
    try {
      const press = JSON.parse(localStorage.getItem(key));
      return press === null ? [] : [press];
    } catch {
      return [];
    }
  }

  function keep(prefix, press) {
    localStorage.setItem(prefix + keyOf(press), JSON.stringify(press));
  }

  function drop(prefix, press) {
    localStorage.removeItem(prefix + keyOf(press));
  }

  // Stored first, then shown, then sent. Throws where this browser keeps nothing.
  function add(press) {
    const whole = { ...press, request_id: newId(), pressed: moment(), tries: 0 };
    keep(WAITS, whole);
    tell();
    flush();
    return whole;
  }

  function isTakenBack(press) {
    return [...list(WAITS), ...list(SENT)].some(
      (other) => other.takes_back === press.request_id,
    );
  }

  function lastPress(session) {
    const own = (press) => press.session === session;
    const counted = [...list(WAITS), ...list(SENT)].filter(
      (press) => own(press) && press.what !== "take-back" && !isTakenBack(press),
    );
    const all = [...counted, ...list(LOOK).filter(own)];
    return all.sort((a, b) => a.pressed - b.pressed).pop();
  }

  // A press that was never tried is taken out here. One that was tried may have arrived
  // although no answer came, so it is followed by a press that takes it back.
  function undo(session) {
    const press = lastPress(session);
    if (press === undefined) {
      return null;
    }
    const isLookedAt = localStorage.getItem(LOOK + keyOf(press)) !== null;
    if (isLookedAt) {
      drop(LOOK, press);
    } else if (isUntried(press)) {
      drop(WAITS, press);
    } else {
      add({
        what: "take-back",
        session: press.session,
        layout: press.layout,
        takes_back: press.request_id,
        sheets: press.sheets,
        words: `Undo: ${press.words}`,
      });
    }
    tell();
    return press;
  }

  function isUntried(press) {
    return read(WAITS + keyOf(press)).some((kept) => kept.tries === 0);
  }

  // The token is read when it is needed: signing in again makes a new one.
  function token() {
    const cookie = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
    const field = document.querySelector("[name=csrfmiddlewaretoken]");
    return cookie ? decodeURIComponent(cookie[1]) : (field && field.value) || "";
  }

  async function ask(url, options) {
    const giveUp = new AbortController();
    const alarm = setTimeout(() => giveUp.abort(), ANSWER_WITHIN_MS);
    try {
      return await fetch(url, {
        credentials: "same-origin",
        redirect: "manual",
        cache: "no-store",
        signal: giveUp.signal,
        ...options,
      });
    } finally {
      clearTimeout(alarm);
    }
  }

  function post(press) {
    const ago = Math.max(0, Math.round((Date.now() - press.pressed) / 1000));
    return ask(place.dataset.logUrl, {
      method: "POST",
      headers: {
        "Content-Type": "application/json",
        Accept: "application/json",
        "X-CSRFToken": token(),
      },
      body: JSON.stringify({
        request_id: press.request_id,
        what: press.what,
        session: press.session,
        layout: press.layout,
        sheets: press.sheets,
        spoiled: press.spoiled || [],
        takes_back: press.takes_back || null,
        seconds_ago: ago,
      }),
    });
  }

  async function answerOf(response) {
    const type = response.headers.get("Content-Type") || "";
    return type.startsWith("application/json") ? response.json() : null;
  }

  // A fresh page brings a fresh token; where it leads to signing in, it says so.
  async function freshToken() {
    const page = await ask(place.dataset.tokenUrl, {});
    return page.ok;
  }

  async function outcomeOf(press, mayAskAgain) {
    const response = await post(press);
    if (response.type === "opaqueredirect" || response.status === 401) {
      return { kind: "signed-out" };
    }
    const answer = await answerOf(response);
    if (response.status === 403 && answer === null) {
      const again = mayAskAgain && (await freshToken());
      return again ? outcomeOf(press, false) : { kind: "signed-out" };
    }
    return sorted(response.status, answer);
  }

  function sorted(status, answer) {
    if (status >= 200 && status < 300 && answer !== null) {
      return { kind: "done", answer };
    }
    if (status >= 400 && status < 500 && status !== 408 && status !== 429) {
      const sentence = answer && answer.sentence;
      return {
        kind: "look",
        sentence: sentence || "The studio did not take this press. Write it on the card.",
      };
    }
    return { kind: "later" };
  }

  function markTried(press) {
    const key = WAITS + keyOf(press);
    if (localStorage.getItem(key) === null) {
      return false;
    }
    keep(WAITS, { ...press, tries: press.tries + 1 });
    return true;
  }

  async function sendOne(press) {
    if (!markTried(press)) {
      return true;
    }
    let outcome = { kind: "later" };
    try {
      outcome = await outcomeOf(press, true);
    } catch {
      // No signal, or no answer in time: the press stays and is sent again.
    }
    isSignedOut = outcome.kind === "signed-out";
    if (outcome.kind === "done") {
      keep(SENT, { ...press, sent: Date.now() });
      drop(WAITS, press);
      listeners.forEach((listener) => listener(outcome.answer, press));
    } else if (outcome.kind === "look") {
      keep(LOOK, { ...press, sentence: outcome.sentence });
      drop(WAITS, press);
    }
    return outcome.kind === "done" || outcome.kind === "look";
  }

  // A phone that knows it has no signal tries nothing, so that an undo can still take
  // out what waits; the `online` event starts it again.
  async function flush() {
    if (isSending || place === null || !navigator.onLine) {
      return;
    }
    isSending = true;
    clearTimeout(timer);
    try {
      let press = list(WAITS)[0];
      while (press !== undefined && (await sendOne(press))) {
        waitMs = FIRST_WAIT_MS;
        tell();
        press = list(WAITS)[0];
      }
    } finally {
      isSending = false;
    }
    if (list(WAITS).length > 0) {
      timer = setTimeout(flush, waitMs);
      waitMs = Math.min(2 * waitMs, LONGEST_WAIT_MS);
    }
    tell();
  }

  function flushSoon() {
    waitMs = FIRST_WAIT_MS;
    flush();
  }

  function forgetOld() {
    for (const press of list(SENT)) {
      if (Date.now() - press.sent > KEPT_SENT_MS) {
        drop(SENT, press);
      }
    }
  }

  function tell() {
    listeners.forEach((listener) => listener(null, null));
    const line = document.querySelector("[data-outbox-line]");
    if (line !== null) {
      line.textContent = sentence();
    }
  }

  function sentence() {
    const count = list(WAITS).length;
    if (count === 0) {
      return "";
    }
    return count === 1 ? "1 waits to be sent." : `${count} wait to be sent.`;
  }

  window.addEventListener("online", flushSoon);
  window.addEventListener("focus", flushSoon);
  window.addEventListener("storage", tell);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      flushSoon();
    }
  });

  return {
    add,
    undo,
    sentence,
    start() {
      forgetOld();
      flush();
    },
    onChange: (listener) => listeners.push(listener),
    waiting: () => list(WAITS),
    toLookAt: () => list(LOOK),
    isSignedOut: () => isSignedOut,
    dealtWith(requestId) {
      list(LOOK)
        .filter((press) => press.request_id === requestId)
        .forEach((press) => drop(LOOK, press));
      tell();
    },
  };
})();

document.addEventListener("DOMContentLoaded", () => benchOutbox.start());
