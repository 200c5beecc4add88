// A tag reader types its code and Enter. Wherever the hand left the cursor, the code opens its fish; only fields
// marked data-takes-scan keep it. If typed entries would be lost, the person is asked first.
(() => {
  "use strict";
  const QUICK_MS = 60; // a hand is slower between two keys, a reader faster
  const CODE = /^[0-9]{15}$/;
  const field = document.getElementById("scan");
  const ask = document.getElementById("scan-ask");
  if (!field || !ask) return;

  let typed = "";
  let last = 0;
  let before = null; // the field that the burst fell into, and what stood in it

  const takesText = (node) => node && node.matches && node.matches("input, textarea, select, [contenteditable]");
  const changed = (one) => {
    if (one.type === "hidden" || one.tagName === "BUTTON") return false;
    if (one.type === "checkbox" || one.type === "radio") return one.checked !== one.defaultChecked;
    if (one.tagName !== "SELECT") return one.value !== one.defaultValue;
    return one.selectedIndex !== Math.max(0, [...one.options].findIndex((choice) => choice.defaultSelected));
  };
  const unsaved = () =>
    [...document.querySelectorAll("form[data-entry]")].some(
      (form) => document.querySelector(".objections") || [...form.elements].some(changed)
    );
  const open = (code) => {
    const address = `${field.form.action}?q=${encodeURIComponent(code)}`;
    if (!unsaved()) {
      location.assign(address);
      return;
    }
    ask.querySelector("[data-code]").textContent = code;
    ask.querySelector("[data-open]").href = address;
    ask.showModal();
  };

  const nextField = (from) => {
    const all = [...from.form.elements].filter((one) => one.tabIndex >= 0 && one.type !== "hidden" && !one.disabled);
    const next = all[all.indexOf(from) + 1];
    if (next) next.focus();
  };

  const onEnter = (event) => {
    const code = typed;
    const place = before;
    typed = "";
    before = null;
    if (!CODE.test(code) || !takesText(event.target) || event.target === field) return;
    if ("takesScan" in event.target.dataset) {
      event.preventDefault(); // the reader's Enter must not send a half-filled form
      if (event.target.form) nextField(event.target);
      return;
    }
    event.preventDefault();
    if (place && place.node === event.target) event.target.value = place.value;
    open(code);
  };

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing || ask.open) return;
    const quick = event.timeStamp - last < QUICK_MS;
    last = event.timeStamp;
    if (event.key === "Enter") {
      const takes = takesText(event.target) && event.target !== field && "takesScan" in event.target.dataset;
      const whole = takes && CODE.test(event.target.value.trim()); // a slow reader's code is one too
      if (whole) typed = event.target.value.trim();
      if (quick || whole) onEnter(event);
      typed = "";
      return;
    }
    if (event.key.length !== 1) return;
    if (!takesText(event.target)) {
      if (/[0-9A-Za-z]/.test(event.key)) {
        field.value = "";
        field.focus(); // the key itself then falls into the field, and Enter opens the page
      }
      return;
    }
    if (!quick || !before) {
      typed = "";
      before = { node: event.target, value: event.target.value };
    }
    if (/[0-9]/.test(event.key)) typed += event.key;
  }, true);

  document.addEventListener("submit", (event) => {
    if (event.target === field.form && field.value.trim() && unsaved()) {
      event.preventDefault();
      open(field.value.trim());
    }
  });
  ask.querySelector("[data-stay]").addEventListener("click", () => ask.close());

  // A refused form begins with what is wrong.
  const refused = document.querySelector(".objections");
  if (refused) refused.focus();
})();
