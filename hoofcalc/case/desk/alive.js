// Says within two seconds that the program has stopped, and that the case is open twice; brings
// what is opened by a button into sight.
const ASK_MS = 600;
const BRING_MS = 2500; // so long a part may take to come
const OTHER_MS = 2000; // a window that was closed is forgotten after so long
const SILENT_MS = 6000; // it may be at work on something else for so long
const STOPPED =
  "The program has stopped. What you placed since is held in this page: open the case again " +
  "(hoofcalc case FOLDER open) in this browser, and it is saved there. Then close this page.";
const SILENT = "The program does not answer at the moment. What you place is held in this page.";
const TWICE =
  "This case is open in another window of this browser as well. Work in one of them only: " +
  "what is saved last counts.";

export default {
  render({ model, el }) {
    let beat = 0;
    let heardAt = performance.now();
    let missed = 0;
    let otherAt = -Infinity; // when another window last said that it is there
    const banner = document.createElement("div");
    banner.className = "hoofcalc-banner";
    banner.setAttribute("role", "alert");
    banner.hidden = true;
    el.append(banner);
    const say = () => {
      const silent = performance.now() - heardAt > SILENT_MS;
      const twice = performance.now() - otherAt < OTHER_MS;
      const words = [missed > 1 ? STOPPED : silent ? SILENT : "", twice ? TWICE : ""].filter(Boolean).join(" ");
      if (banner.textContent !== words) banner.textContent = words;
      banner.hidden = !words;
    };
    const ask = async () => {
      others.postMessage({ folder: here, asks: true });
      try {
        model.send({ beat: ++beat });
      } catch {
        // the way to the program is closed; the next line finds out
      }
      try {
        await fetch(new URL("/api", location.origin), { cache: "no-store" });
        missed = 0;
      } catch {
        missed += 1;
      }
      say();
    };
    const heard = () => {
      heardAt = performance.now();
      say();
    };
    model.on("msg:custom", heard);
    const others = new BroadcastChannel("hoofcalc-desk");
    const here = model.get("folder");
    others.onmessage = ({ data }) => {
      if (data.folder !== here) return;
      if (data.asks) others.postMessage({ folder: here });
      otherAt = performance.now();
      say();
    };
    const timer = setInterval(ask, ASK_MS);
    // a part below the foot's picture, or a photograph, is there only some time after the click
    const bring = ({ target }) => {
      const button = target.closest?.("button");
      const strip = button?.closest(".hoofcalc-view .hoofcalc-strip");
      const photograph = button?.closest(".hoofcalc-thumbs") && document.querySelector(".hoofcalc-placing .room");
      const block = strip ? "start" : "nearest";
      if (!strip && !photograph) return;
      const grown = new ResizeObserver(() => (strip || photograph).scrollIntoView({ block }));
      grown.observe(strip ? strip.parentElement : photograph);
      setTimeout(() => grown.disconnect(), BRING_MS);
    };
    document.addEventListener("click", bring);
    return () => {
      document.removeEventListener("click", bring);
      clearInterval(timer);
      others.close();
      model.off("msg:custom", heard);
    };
  },
};
