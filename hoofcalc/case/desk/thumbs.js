// Photographs as small pictures; under each, from where it shows the foot.
export default {
  render({ model, el }) {
    el.classList.add("hoofcalc-thumbs");
    const draw = () => {
      const at = document.activeElement?.dataset?.wish;
      const chosen = model.get("chosen");
      el.replaceChildren(
        ...model.get("photographs").map(({ name, words, jpeg }) => {
          const card = document.createElement("figure");
          const picture = document.createElement("img");
          picture.alt = "";
          if (jpeg) picture.src = URL.createObjectURL(new Blob([jpeg], { type: "image/jpeg" }));
          picture.onload = () => URL.revokeObjectURL(picture.src);
          const caption = document.createElement("figcaption");
          caption.textContent = words;
          const views = document.createElement("div");
          views.setAttribute("role", "group");
          views.setAttribute("aria-label", `${name} shows the foot`);
          for (const [view, said] of Object.entries(model.get("views"))) {
            const button = document.createElement("button");
            button.type = "button";
            button.textContent = said;
            button.dataset.wish = `${view} ${name}`;
            button.setAttribute("aria-pressed", String(chosen[view] === name));
            if (model.get("shown") === view && chosen[view] === name) card.className = "shown";
            button.onclick = () => {
              model.set("wish", [view, name, (model.get("wish")[2] || 0) + 1]);
              model.save_changes();
            };
            views.append(button);
          }
          card.append(picture, caption, views);
          return card;
        }),
      );
      if (at) el.querySelector(`[data-wish="${CSS.escape(at)}"]`)?.focus();
    };
    for (const name of ["photographs", "chosen", "shown"]) model.on(`change:${name}`, draw);
    draw();
    return () => model.off(null, draw);
  },
};
