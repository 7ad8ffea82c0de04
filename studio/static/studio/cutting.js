// The phone page of the workshop: four buttons, one layout at a time. Every panel is in
// the page already, so that it works where there is no signal.
"use strict";

(() => {
  const BOUNCE_MS = 700;
  const place = document.getElementById("cutting");
  const session = Number(place.dataset.session);
  const heading = document.querySelector("h1");
  const said = document.getElementById("cutting-said");
  let layout = place.dataset.layout;
  let chosen = {};
  let lastSheetAt = 0;

  const panelOf = (name) =>
    document.querySelector(`[data-panel="${name}"][data-layout="${layout}"]`) ||
    document.querySelector(`[data-panel="${name}"]:not([data-layout])`);

  function show(name) {
    for (const panel of document.querySelectorAll("[data-panel]")) {
      panel.hidden = panel !== panelOf(name);
    }
    document.body.dataset.shows = name;
    refresh();
    window.scrollTo(0, 0);
  }

  // The phone's own Back button must close a panel, not the page: without a signal the
  // page could not be opened again.
  function open(name) {
    history.pushState({ panel: name, depth: depth() + 1 }, "");
    say("");
    show(name);
  }

  function depth() {
    return (history.state && history.state.depth) || 0;
  }

  function home() {
    if (depth() > 0) {
      history.go(-depth());
    }
    show("sheet");
  }

  function say(sentence) {
    said.textContent = sentence;
  }

  function felt() {
    if (navigator.vibrate) {
      navigator.vibrate(40);
    }
  }

  function sheetsWaiting(code) {
    return benchOutbox
      .waiting()
      .filter((press) => press.session === session && press.layout === code)
      .reduce((sum, press) => sum + (press.what === "take-back" ? -1 : 1) * press.sheets, 0);
  }

  function doneOf(panel) {
    return Number(panel.dataset.done) + sheetsWaiting(panel.dataset.layout);
  }

  function progress(panel) {
    const done = doneOf(panel);
    const planned = Number(panel.dataset.planned);
    if (planned === 0) {
      return `${done} done, none planned.`;
    }
    const next = done < planned ? "" : ". Press Stop to go on";
    return `${done} of ${planned} sheets done${next}.`;
  }

  function refresh() {
    const panel = panelOf("sheet");
    panel.querySelector("[data-progress]").textContent = progress(panel);
    const waits = benchOutbox.sentence();
    panel.querySelector("[data-waits]").textContent = waits
      ? `${doneOf(panel)} done, ${waits}`
      : "";
    if (document.body.dataset.shows === "sheet") {
      heading.textContent = `Cut ${layout}.`;
    } else {
      heading.textContent = panelOf(document.body.dataset.shows).dataset.heading;
    }
    document.getElementById("cutting-signed-out").hidden = !benchOutbox.isSignedOut();
    refreshLooks();
  }

  function refreshLooks() {
    const looks = benchOutbox.toLookAt();
    const line = document.getElementById("cutting-looks");
    line.textContent = looks.length
      ? `Look here: ${looks[looks.length - 1].words}. ${looks[looks.length - 1].sentence}`
      : "";
    line.hidden = looks.length === 0;
    const list = document.getElementById("cutting-look-list");
    list.replaceChildren(...looks.map(lookItem));
    document.getElementById("cutting-look-part").hidden = looks.length === 0;
  }

  function lookItem(press) {
    const item = document.createElement("li");
    const words = document.createElement("p");
    words.textContent = `${press.words}. ${press.sentence}`;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "It is dealt with";
    button.addEventListener("click", () => benchOutbox.dealtWith(press.request_id));
    item.append(words, button);
    return item;
  }

  // A press is stored before anything else. Where this browser keeps nothing, the plain
  // form is sent, which needs a signal and says so if there is none.
  function pressed(press) {
    try {
      benchOutbox.add({ session, layout, sheets: 0, ...press });
    } catch {
      return false;
    }
    felt();
    return true;
  }

  function sheetDone() {
    if (Date.now() - lastSheetAt < BOUNCE_MS) {
      say("That was one press. Press again if another sheet is done.");
      return true;
    }
    const isKept = pressed({ what: "sheet", sheets: 1, words: `1 sheet of ${layout}` });
    if (isKept) {
      lastSheetAt = Date.now();
      say(`1 sheet of ${layout} done.`);
    }
    return isKept;
  }

  function spoiled(where) {
    const words = `${chosen.piece} ${chosen.whyWords}`;
    const line = { piece: chosen.piece, count: 1, reason: chosen.why, where };
    const isKept = pressed({ what: "spoiled", spoiled: [line], words });
    if (isKept) {
      home();
      say(`1 ${words}, of the ${layout} sheets done so far.`);
    }
    return isKept;
  }

  function undo() {
    const press = benchOutbox.undo(session);
    say(press ? `Taken back: ${press.words}.` : "Nothing was pressed on this phone today.");
    felt();
    return true;
  }

  function pieceStep() {
    if (doneOf(panelOf("sheet")) < 1) {
      say("Press “Sheet done” first, then say what was spoiled.");
      return;
    }
    const pieces = panelOf("piece").querySelectorAll("[data-piece]");
    if (pieces.length === 1) {
      chosen = { piece: pieces[0].dataset.piece };
      open("why");
      return;
    }
    open("piece");
  }

  const steps = {
    piece: pieceStep,
    stop: () => open("stop"),
    sheet: home,
    why(link) {
      chosen = { piece: link.dataset.piece };
      open("why");
    },
    where(link) {
      chosen = { ...chosen, why: link.dataset.why, whyWords: link.dataset.whyWords };
      open("where");
    },
    layout(link) {
      layout = link.dataset.chooses;
      say("");
      home();
    },
  };

  const forms = {
    sheet: sheetDone,
    undo,
    spoiled: (button) => spoiled(button.value),
  };

  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-step]");
    if (link !== null) {
      event.preventDefault();
      steps[link.dataset.step](link);
    }
  });

  // What looks like a button answers the space bar like one.
  document.addEventListener("keydown", (event) => {
    if (event.key === " " && event.target.matches("a[role=button]")) {
      event.preventDefault();
      event.target.click();
    }
  });

  document.addEventListener(
    "submit",
    (event) => {
      const name = event.target.dataset.press;
      if (name !== undefined && forms[name](event.submitter)) {
        event.preventDefault();
        event.stopPropagation();
      }
    },
    true,
  );

  benchOutbox.onChange((answer, press) => {
    if (answer !== null && press.session === session) {
      for (const panel of document.querySelectorAll('[data-panel="sheet"]')) {
        panel.dataset.done = answer.done[panel.dataset.layout] || 0;
      }
    }
    refresh();
  });

  window.addEventListener("popstate", (event) => show((event.state && event.state.panel) || "sheet"));
  window.addEventListener("beforeunload", (event) => {
    if (!navigator.onLine && benchOutbox.waiting().length > 0) {
      event.preventDefault();
    }
  });

  document.body.dataset.shows = "sheet";
  history.replaceState({ panel: "sheet", depth: 0 }, "");
  show("sheet");
})();
