"use strict";
// Shows one step at a time. Without this script all steps stand below each other.
(function () {
  var frames = Array.prototype.slice.call(document.querySelectorAll(".frame"));
  if (!frames.length) { return; }
  var holder = document.getElementById("frames");
  var slider = document.getElementById("slider");
  var said = document.getElementById("said");
  var all = document.getElementById("all");
  function show(number) {
    var at = Math.max(0, Math.min(frames.length - 1, number));
    slider.value = String(at);
    frames.forEach(function (frame, index) { frame.classList.toggle("shown", index === at); });
    said.textContent = frames[at].dataset.words + " (" + (at + 1) + " of " + frames.length + ")";
  }
  function step(by) { show(Number(slider.value) + by); }
  slider.addEventListener("input", function () { show(Number(slider.value)); });
  document.getElementById("back").addEventListener("click", function () { step(-1); });
  document.getElementById("forward").addEventListener("click", function () { step(1); });
  all.addEventListener("click", function () {
    var one = holder.classList.toggle("one");
    all.setAttribute("aria-pressed", String(!one));
  });
  document.addEventListener("keydown", function (event) {
    if (event.target === slider || event.ctrlKey || event.metaKey || event.altKey) { return; }
    if (event.key === "ArrowRight") { step(1); } else if (event.key === "ArrowLeft") { step(-1); }
  });
  holder.classList.add("one");
  document.getElementById("controls").hidden = false;
  show(0);
})();
