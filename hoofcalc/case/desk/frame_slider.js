// A slider over the frames of a film. While Python draws one frame, only the latest wish waits.
export default {
  render({ model, el }) {
    const label = document.createElement("label");
    const words = document.createElement("span");
    const slider = document.createElement("input");
    slider.type = "range";
    slider.min = 0;
    slider.step = 1;
    slider.style.cssText = "display:block;width:100%;height:40px;margin:0;accent-color:#0072b2";
    label.append(words, slider);
    el.append(label);
    let sent = null;
    let timer = 0;
    const say = () => {
      words.textContent = `Frame ${slider.value} of ${model.get("last")} (left and right arrow keys step)`;
      slider.setAttribute("aria-valuetext", `frame ${slider.value}`);
    };
    const send = () => {
      clearTimeout(timer);
      if (sent !== null && model.get("shown") !== sent) {
        timer = setTimeout(() => { sent = null; send(); }, 2000);
        return;
      }
      const wish = Number(slider.value);
      if (wish === model.get("value")) return;
      sent = wish;
      model.set("value", wish);
      model.save_changes();
    };
    slider.addEventListener("input", () => { say(); send(); });
    const follow = () => {
      slider.max = model.get("last");
      slider.value = model.get("value");
      say();
    };
    model.on("change:value", () => { if (sent === null || model.get("value") !== sent) follow(); });
    model.on("change:last", follow);
    const mark = () => { el.dataset.frame = model.get("shown"); };
    model.on("change:shown", () => { sent = null; clearTimeout(timer); send(); });
    model.on("change:shown", mark);
    follow();
    mark();
  },
};
