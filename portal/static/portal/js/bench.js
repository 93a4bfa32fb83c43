// Three small helps for entry with gloves on a phone. Every page works without them.
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

  // Enter in a reading goes on to the next reading; in the last one it sends the form, as anywhere.
  function advance(event) {
    var field = event.target;
    if (event.key !== "Enter" || event.isComposing || !field.form || !field.closest(".reading")) return;
    var readings = Array.prototype.filter.call(field.form.elements, function (other) {
      return other.closest(".reading") && other.type !== "hidden" && !other.disabled;
    });
    var next = readings[readings.indexOf(field) + 1];
    if (!next) return;
    event.preventDefault();
    next.focus();
    if (next.select) next.select();
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

  document.addEventListener("submit", sign);
  document.addEventListener("input", noteTyping);
  document.addEventListener("change", noteTyping);
  document.addEventListener("keydown", advance);
  document.addEventListener("htmx:load", function (event) {
    clearAccepted(event.target);
    // A form that htmx brought back after a refusal holds what was sent; only a fresh one is filled in.
    if (event.target !== document.body) restoreAll(event.target);
  });
  clearAccepted(document);
  restoreAll(document);
})();
