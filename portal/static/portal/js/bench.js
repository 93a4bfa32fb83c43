// Small helps for entry with gloves on a phone. Every page works without them.
(function () {
  "use strict";

  var PREFIX = "kept:";
  // Never kept: what is secret, what the server made, and files, which a page may not fill in.
  var NEVER = ["password", "hidden", "file", "submit", "button", "image", "reset"];

  function store() {
    try { return window.localStorage; } catch (refused) { return null; }
  }

  function keepable(field) {
    return field.name && NEVER.indexOf(field.type) === -1 && !/^(current|new)-password|one-time-code/.test(field.autocomplete || "");
  }

  function typed(form) {
    var values = {};
    Array.prototype.forEach.call(form.elements, function (field) {
      if (!keepable(field)) return;
      var value = field.value;
      if (field.type === "checkbox" || field.type === "radio") {
        if (!field.checked) { values[field.name] = values[field.name] || []; return; }
      } else if (field.type === "select-multiple") {
        values[field.name] = Array.prototype.map.call(field.selectedOptions, function (option) { return option.value; });
        return;
      }
      (values[field.name] = values[field.name] || []).push(value);
    });
    return values;
  }

  // What was said of the field was said of what stood there before: it goes as soon as something else is typed.
  function mended(event) {
    var field = event.target.closest && event.target.closest(".field.wrong");
    if (!field) return;
    field.classList.remove("wrong");
    event.target.removeAttribute("aria-invalid");
    Array.prototype.forEach.call(field.querySelectorAll(".error"), function (said) { said.remove(); });
  }

  function keep(form) {
    var kept = store();
    if (!kept) return;
    try { kept.setItem(PREFIX + form.dataset.keep, JSON.stringify(typed(form))); } catch (full) { /* nothing is kept */ }
  }

  function restore(form) {
    var kept = store();
    var text = kept && kept.getItem(PREFIX + form.dataset.keep);
    if (!text) return;
    var values;
    try { values = JSON.parse(text); } catch (damaged) { kept.removeItem(PREFIX + form.dataset.keep); return; }
    var used = {};
    Array.prototype.forEach.call(form.elements, function (field) {
      if (!keepable(field) || !(field.name in values)) return;
      var list = values[field.name];
      if (field.type === "checkbox" || field.type === "radio") { field.checked = list.indexOf(field.value) !== -1; return; }
      if (field.type === "select-multiple") {
        Array.prototype.forEach.call(field.options, function (option) { option.selected = list.indexOf(option.value) !== -1; });
        return;
      }
      var index = used[field.name] || 0;
      used[field.name] = index + 1;
      if (index < list.length) field.value = list[index];
    });
  }

  // The server says on the page that follows which form it has accepted; only then is the copy thrown away.
  function clearAccepted(root) {
    var kept = store();
    if (!kept) return;
    root.querySelectorAll('meta[name="kept-clear"]').forEach(function (meta) { kept.removeItem(PREFIX + meta.content); });
  }

  function restoreAll(root) {
    root.querySelectorAll("form[data-keep]").forEach(restore);
  }

  function noteTyping(event) {
    var form = event.target.form;
    if (form && form.dataset.keep) keep(form);
  }

  // The fields of a form in the order in which they are typed; remarks are not on the way.
  function stops(form) {
    return Array.prototype.filter.call(form.elements, function (field) {
      return field.matches("input, select, textarea") && field.name !== "remark" && !field.disabled
        && ["hidden", "file", "submit", "button"].indexOf(field.type) === -1;
    });
  }

  function goTo(field) {
    field.focus();
    if (field.select) field.select();
  }

  // On to the next field; after the last one to the button that keeps the record, so that the verdict is read first.
  function goOn(field) {
    var form = field.form, fields = stops(form);
    var next = fields[fields.indexOf(field) + 1] || form.querySelector("button[type=submit]");
    if (next) goTo(next);
  }

  // Enter in a record goes on to the next field. In other forms only from reading to reading, and sends from the last.
  function advance(event) {
    var field = event.target;
    if (event.key !== "Enter" || event.isComposing || !field.form || !field.matches("input")) return;
    if (field.form.id === "record-form") {
      if (field.type === "submit") return;
      event.preventDefault();
      goOn(field);
      return;
    }
    if (!field.closest(".reading")) return;
    var readings = stops(field.form).filter(function (other) { return other.closest(".reading"); });
    var next = readings[readings.indexOf(field) + 1];
    if (!next) return;
    event.preventDefault();
    goTo(next);
  }

  // A figure is complete with the last decimal that the chosen range of its instrument shows.
  function completed(event) {
    var field = event.target;
    if (event.inputType !== "insertText" || !field.dataset || !field.dataset.readWith) return;
    var used = field.form.elements[field.dataset.readWith];
    var option = used && used.selectedOptions && used.selectedOptions[0];
    var decimals = option && Number(option.dataset.decimals);
    var typed = /^\s*[<>]?\s*[-\u2212]?\d+[.,](\d+)$/.exec(field.value);
    if (decimals && typed && typed[1].length === decimals) goOn(field);
  }

  // What a phone's keyboard for figures lacks: OL, signs, the other units of a display, and the next field.
  function press(field, key) {
    var text = field.value.trim();
    if (key === "OL") field.value = "OL";
    else if (key === "<" || key === ">") field.value = key + " " + text.replace(/^[<>]\s*/, "");
    else if (key === "\u2212") field.value = /^[-\u2212]/.test(text) ? text.slice(1) : "\u2212" + text;
    else field.value = text.replace(/\s*[a-z]+$/i, "") + " " + key;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    if (key === "<" || key === ">" || key === "\u2212") { field.focus(); return; }
    goOn(field);
  }

  function showKeys(event) {
    var field = event.target;
    var bar = document.getElementById("keys");
    if (!bar || !field.form || field.form.id !== "record-form" || bar.contains(field)) return;
    var typing = field.matches("input[inputmode], select, textarea");
    bar.hidden = !typing;
    if (!typing) return;
    var label = field.labels && field.labels[0] ? field.labels[0].textContent.trim() : "";
    bar.setAttribute("aria-label", bar.dataset.label + " " + label);
    bar.replaceChildren();
    var keys = (field.dataset.keys || "").split(" ").filter(Boolean);
    keys.concat([""]).forEach(function (key) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = key || bar.dataset.next;
      button.className = key ? "key" : "key next-key";
      if (key === "\u2212") button.setAttribute("aria-label", bar.dataset.minus);
      // The field keeps the focus, so that the keyboard stays up.
      button.addEventListener("pointerdown", function (down) { down.preventDefault(); });
      button.addEventListener("click", function () { if (key) press(field, key); else goOn(field); });
      bar.appendChild(button);
    });
  }

  // Where the keyboard lies over the page instead of shrinking it, the foot is lifted above the keyboard.
  function liftFoot() {
    var foot = document.querySelector(".foot"), seen = window.visualViewport;
    if (!foot || !seen) return;
    var hidden = Math.max(0, Math.round(window.innerHeight - seen.height - seen.offsetTop));
    foot.style.bottom = seen.scale > 1.01 || hidden < 80 ? "" : hidden + "px";
  }

  // The form says which copy it is, so that the server can tell on the next page that it has accepted it.
  function sign(event) {
    var form = event.target;
    if (!form.dataset || !form.dataset.keep || form.elements.kept) return;
    var field = document.createElement("input");
    field.type = "hidden";
    field.name = "kept";
    field.value = form.dataset.keep;
    form.appendChild(field);
  }

  // What is wrong may stand far down a long page: it is what a refused form opens with.
  function showErrors() {
    var errors = document.querySelector("main .errors");
    if (!errors) return;
    errors.tabIndex = -1;
    errors.focus();
  }

  // A log stays here until the record is kept; the judgement is told that there is one.
  function tellOfLog(event) {
    var form = event.detail.elt;
    var log = form && form.id === "record-form" && form.querySelector("input[type=file]");
    if (log && log.files.length) event.detail.parameters.log_chosen = "yes";
  }

  document.addEventListener("submit", sign);
  document.addEventListener("htmx:configRequest", tellOfLog);
  document.addEventListener("input", noteTyping);
  document.addEventListener("change", noteTyping);
  document.addEventListener("keydown", advance);
  document.addEventListener("input", completed);
  document.addEventListener("input", mended);
  document.addEventListener("focusin", showKeys);
  if (window.visualViewport) {
    window.visualViewport.addEventListener("resize", liftFoot);
    window.visualViewport.addEventListener("scroll", liftFoot);
  }
  document.addEventListener("htmx:load", function (event) {
    clearAccepted(event.target);
    // A form that htmx brought back after a refusal holds what was sent; only a fresh one is filled in.
    if (event.target !== document.body) restoreAll(event.target);
  });
  clearAccepted(document);
  restoreAll(document);
  showErrors();
})();
