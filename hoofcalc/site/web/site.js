// On every page: the site works without the network after the first visit, and says when a newer
// version of it has come. Nobody's work is touched: it lies beside the pages, not in them.
(() => {
  "use strict";
  const settings = JSON.parse(document.getElementById("hoofcalc-site").textContent);
  const bar = document.querySelector(".newer");

  // What has the focus stands in view whole, below a figure's picture where that stays while the rest
  // scrolls; a browser alone is content with a corner of it.
  document.addEventListener("focusin", ({ target }) => {
    if (!target.matches(":focus-visible")) return;
    const figure = target.closest(".hoofcalc-figure.narrow");
    const picture = figure && figure.querySelector(".picture");
    if (picture && !picture.contains(target) && getComputedStyle(picture).position === "sticky")
      target.style.scrollMarginTop = `${picture.offsetHeight + 8}px`;
    target.scrollIntoView({ block: "nearest", inline: "nearest" });
  });

  function offer(waiting) {
    if (!bar) return;
    bar.hidden = false;
    bar.querySelector("button").addEventListener("click", () => {
      navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
      if (waiting) waiting.postMessage("take over");
      else location.reload();
    });
  }

  async function register() {
    try {
      const registration = await navigator.serviceWorker.register(settings.service);
      if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting);
      registration.addEventListener("updatefound", () => {
        const coming = registration.installing;
        coming.addEventListener("statechange", () => {
          if (coming.state === "installed" && navigator.serviceWorker.controller) offer(coming);
        });
      });
      navigator.serviceWorker.addEventListener("message", ({ data }) => {
        const place = document.querySelector(".offline");
        if (place && data.kept) place.textContent = "Everything is kept: this page also opens without the network.";
      });
    } catch {
      // a browser that forbids it reads the pages all the same
    }
  }

  if (settings.service && "serviceWorker" in navigator && location.protocol !== "file:") {
    // Python first, then the other pages
    const python = window.hoofcalc && window.hoofcalc.python;
    let begun = false;
    const begin = () => {
      if (!begun) register();
      begun = true;
    };
    if (python) {
      python.listen((state) => {
        if (state === "awake" || state === "failed") begin();
      });
      setTimeout(begin, 30000);
    } else addEventListener("load", begin);
  }
})();
