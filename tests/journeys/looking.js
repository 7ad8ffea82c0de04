// What can be read and measured of the page that is open. `page` looks once, with every
// folded part opened; `width` measures what depends on how wide the window is.
(() => {
  const shown = (one) => {
    const box = one.getBoundingClientRect();
    return box.width > 1 && box.height > 1 && getComputedStyle(one).visibility !== "hidden";
  };
  const words = (one) => (one.innerText || one.value || one.name || "").trim();
  const size = (one) => {
    const box = one.getBoundingClientRect();
    return { least: Math.min(box.width, box.height), says: `${Math.round(box.width)} × ${Math.round(box.height)}` };
  };

  // A link that is all of its paragraph is pressed like a button; one in a sentence or
  // in a row of a table is part of the text.
  const alone = (link) => {
    const around = link.closest("p, li, dd, dt, div, section, main");
    return !link.closest("table") && around && words(around) === words(link);
  };
  const touched = (one) =>
    ["checkbox", "radio"].includes(one.type) ? one.closest("label") || one : one;
  const pressed = () => [
    ...document.querySelectorAll("button, input:not([type=hidden]), select, textarea"),
    ...document.querySelectorAll("summary, a.button, .next-action-label, nav a"),
    ...[...document.querySelectorAll("main a")].filter(alone),
  ];
  const least = (one) => (one.closest("body.bench main") ? 72 : 44);
  const small = () =>
    [...new Set(pressed().map(touched))]
      .filter((one) => shown(one) && !one.closest(".unseen, .skip"))
      .filter((one) => size(one).least < least(one) - 0.5)
      .map((one) => `${one.tagName.toLowerCase()} “${words(one).slice(0, 40)}” ${size(one).says}`);

  const sideways = () => {
    const page = document.scrollingElement;
    if (page.scrollWidth <= page.clientWidth) return "";
    const outside = [...document.querySelectorAll("body *")].filter(
      (one) => one.getBoundingClientRect().right > page.clientWidth + 1,
    );
    const first = outside.find((one) => !one.closest(".table-region")) || outside[0];
    return `${page.scrollWidth} px: ${first ? first.outerHTML.slice(0, 120) : "?"}`;
  };

  const said = (one) =>
    ["aria-label", "title", "placeholder", "alt"].map((name) => one.getAttribute(name) || "");
  const spoken = () =>
    [...document.querySelectorAll("[aria-label], [title], [placeholder], [alt]")].flatMap(said);
  const axeSays = (found) =>
    found.violations.map((one) => {
      const where = one.nodes.slice(0, 3).map((node) => node.html.slice(0, 140));
      return `${one.id}: ${where.join(" | ")}`;
    });

  return {
    page: async (rules) => {
      document.querySelectorAll("details").forEach((one) => { one.open = true; });
      const only = { runOnly: { type: "tag", values: rules }, resultTypes: ["violations"] };
      const found = await axe.run(document, only);
      return {
        rules_passed: found.passes.length,
        broken: axeSays(found),
        headings: [...document.querySelectorAll("h1")].map(words),
        words: [document.title, document.body.innerText, ...spoken()].join("\n"),
        is_told_off: document.querySelector("main [role=alert]") !== null,
      };
    },
    width: () => ({ small: small(), sideways: sideways() }),
  };
})()
