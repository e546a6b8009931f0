"use strict";
(function () {
  var form = document.getElementById("search");
  var entries = Array.from(document.querySelectorAll(".entry"));
  var groups = Array.from(document.querySelectorAll("[data-group]"));
  var words = new WeakMap();
  function text(entry) {
    if (!words.has(entry)) { words.set(entry, entry.textContent.toLowerCase()); }
    return words.get(entry);
  }
  function filter() {
    var asked = form.elements.q.value.toLowerCase().split(/\s+/).filter(Boolean);
    var parameter = form.elements.parameter.value;
    var witness = form.elements.witness.value;
    var standings = new Set(Array.from(form.querySelectorAll("[name=standing]:checked"),
      function (box) { return box.value; }));
    var shown = 0;
    entries.forEach(function (entry) {
      var fits = standings.has(entry.dataset.standing) &&
        (!parameter || entry.dataset.parameter === parameter) &&
        (!witness || entry.dataset.witnesses.split(" ").includes(witness)) &&
        asked.every(function (word) { return text(entry).includes(word); });
      entry.hidden = !fits;
      if (fits) { shown += 1; }
    });
    groups.forEach(function (group) {
      group.hidden = !group.querySelector(".entry:not([hidden])");
    });
    form.elements.count.value = shown === entries.length
      ? "All " + shown + " entries are shown."
      : shown + " of " + entries.length + " entries are shown; the others are only hidden.";
  }
  if (form) {
    form.hidden = false;
    form.addEventListener("input", filter);
    form.addEventListener("submit", function (event) { event.preventDefault(); filter(); });
    form.addEventListener("reset", function () { setTimeout(filter, 0); });
    filter();
  }
  // A link to an entry that the search hides shows it again.
  function reveal() {
    var target = location.hash && document.getElementById(location.hash.slice(1));
    var entry = target && target.closest(".entry");
    if (entry && entry.hidden) { form.reset(); setTimeout(function () { target.scrollIntoView(); }, 1); }
    var box = target && target.closest("details");
    if (box) { box.open = true; target.scrollIntoView(); }
  }
  window.addEventListener("hashchange", reveal);
  reveal();
  // The whole page that a crop was taken from.
  var dialog = document.getElementById("whole");
  document.querySelectorAll("button.whole").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var crop = button.closest("figure").querySelector(".crop");
      var leaf = dialog.querySelector(".leaf");
      var at = crop.dataset.box.split(" ").map(Number);
      leaf.className = "leaf " + crop.dataset.page;
      leaf.style.width = at[4] + "px";
      leaf.style.height = at[5] + "px";
      var mark = leaf.querySelector("i");
      mark.style.left = at[0] + "px";
      mark.style.top = at[1] + "px";
      mark.style.width = at[2] + "px";
      mark.style.height = at[3] + "px";
      leaf.setAttribute("aria-label", crop.getAttribute("aria-label"));
      dialog.querySelector(".bar span").textContent = button.dataset.place;
      dialog.showModal();
      leaf.parentNode.scrollTop = 0;
      mark.scrollIntoView({ block: "center" });
    });
  });
}());
