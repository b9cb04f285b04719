/** Links the pictures of a page: one moment, shown in all of them, by mouse and by keyboard. Nothing needs it to be read. */
export const PAGE_SCRIPT = `"use strict";
(() => {
  const NS = "http://www.w3.org/2000/svg";
  const LOZENGE = "M0 -9L7 0L0 9L-7 0ZM0 -15V-9M0 9V15M-13 0H-7M7 0H13";
  const WIDTH = 960;
  const path = (d, look, parent) => {
    const one = document.createElementNS(NS, "path");
    one.setAttribute("d", d);
    if (look) one.setAttribute("class", look);
    parent.append(one);
    return one;
  };
  const clock = (at) => {
    const whole = Math.floor(at + 1e-6);
    const two = (n) => String(n).padStart(2, "0");
    const minutes = Math.floor(whole / 60);
    return minutes < 60 ? two(minutes) + ":" + two(whole % 60) : Math.floor(minutes / 60) + ":" + two(minutes % 60) + ":" + two(whole % 60);
  };
  const nearest = (values, wanted) => {
    let best = 0;
    for (let i = 1; i < values.length; i += 1) if (Math.abs(values[i] - wanted) < Math.abs(values[best] - wanted)) best = i;
    return best;
  };
  const bar = document.querySelector(".moment");
  for (const section of document.querySelectorAll("section.flight")) {
    const block = document.getElementById(section.id + "-data");
    if (block === null) continue;
    const data = JSON.parse(block.textContent);
    const views = [...section.querySelectorAll("[data-linked]")].map((box) => {
      const svg = box.querySelector("svg");
      const cross = svg.querySelector(".cross");
      const number = (name) => Number(box.dataset[name]);
      return { box, svg, cross, kind: box.dataset.linked, number };
    });
    const articles = [...section.querySelectorAll("article.finding")];
    let current = -1;
    const length = (metres) => {
      const value = data.unit === "ft" ? metres / 0.3048 : metres;
      const text = value.toFixed(Math.abs(value) < 9.95 ? 1 : 0).replace(/[.]0$/, "");
      return (text === "-0" ? "0" : text) + " " + data.unit;
    };
    const percent = (value, none) => (value === null ? none : value.toFixed(1).replace("-", "\\u2212") + " %");
    const tell = (i) => {
      const parts = [];
      const rules = data.rules[i];
      parts.push(data.verdict[i] + (rules.length > 0 ? " under " + rules.join(", ") : ""));
      if (data.battery[i] !== null) {
        const need = data.endless[i] ? "need without end" : "need " + percent(data.need[i], "not known");
        const upper = data.upper[i] === null ? "" : " (upper " + percent(data.upper[i], "") + ")";
        const left = data.left[i] === null ? "" : ", would land with " + percent(data.left[i], "");
        parts.push("battery " + percent(data.battery[i], "") + ", " + need + upper + left);
      }
      if (data.distance[i] !== null) parts.push(length(data.distance[i]) + " out" + (data.height[i] === null ? "" : ", " + length(data.height[i]) + " up"));
      bar.replaceChildren();
      const strong = document.createElement("b");
      strong.textContent = clock(data.at[i]);
      bar.append(strong, "  " + parts.join(" \\u00b7 "));
    };
    const place = ({ kind, number }, i) => {
      if (kind === "time") {
        const share = (data.at[i] - number("from")) / (number("to") - number("from"));
        return [number("left") + share * (number("right") - number("left")), number("top")];
      }
      if (kind === "plan") {
        if (data.east[i] === null || data.north[i] === null) return null;
        const east = (data.east[i] - number("west")) / (number("east") - number("west"));
        const north = (number("north") - data.north[i]) / (number("north") - number("south"));
        return [number("left") + east * (number("right") - number("left")), number("top") + north * (number("bottom") - number("top"))];
      }
      if (data.distance[i] === null || data.over[i] === null) return null;
      const out = 1 - data.distance[i] / number("length");
      const up = (number("high") - data.over[i]) / (number("high") - number("low"));
      if (out < 0 || up < 0 || up > 1) return null;
      return [number("left") + out * (number("right") - number("left")), number("top") + up * (number("bottom") - number("top"))];
    };
    const show = (i) => {
      current = i;
      for (const view of views) {
        view.cross.replaceChildren();
        const spot = i < 0 ? null : place(view, i);
        if (spot === null) continue;
        if (view.kind === "time") {
          path("M" + spot[0].toFixed(1) + " " + view.number("top") + "V" + view.number("bottom"), "hair", view.cross);
          continue;
        }
        path(LOZENGE, "halo", view.cross);
        path(LOZENGE, "", view.cross);
        for (const one of view.cross.children) one.setAttribute("transform", "translate(" + spot[0].toFixed(1) + " " + spot[1].toFixed(1) + ")");
      }
      for (const one of articles) {
        const isNow = i >= 0 && data.at[i] >= Number(one.dataset.from) && data.at[i] <= Number(one.dataset.to);
        one.classList.toggle("now", isNow);
      }
      if (i < 0) bar.replaceChildren();
      else tell(i);
    };
    const underPointer = (view, event) => {
      const box = view.svg.getBoundingClientRect();
      const x = ((event.clientX - box.left) / box.width) * WIDTH;
      const y = ((event.clientY - box.top) / box.width) * WIDTH;
      if (view.kind === "time") {
        const share = (x - view.number("left")) / (view.number("right") - view.number("left"));
        return nearest(data.at, view.number("from") + share * (view.number("to") - view.number("from")));
      }
      if (view.kind === "side") return nearest(data.at, view.number("at"));
      let best = -1;
      let least = Infinity;
      for (let i = 0; i < data.at.length; i += 1) {
        const spot = place(view, i);
        if (spot === null) continue;
        const far = (spot[0] - x) ** 2 + (spot[1] - y) ** 2;
        if (far < least) [best, least] = [i, far];
      }
      return best;
    };
    const last = data.at.length - 1;
    const STEPS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 25, PageDown: -25 };
    for (const view of views) {
      view.box.addEventListener("pointermove", (event) => show(underPointer(view, event)));
      view.box.addEventListener("focus", () => {
        if (view.kind === "side") show(nearest(data.at, view.number("at")));
        else if (current < 0) show(data.start);
      });
      view.box.addEventListener("keydown", (event) => {
        if (event.ctrlKey || event.altKey || event.metaKey || event.target !== view.box) return;
        const step = STEPS[event.key];
        if (step !== undefined) show(Math.min(last, Math.max(0, current + step * (event.shiftKey ? 10 : 1))));
        else if (event.key === "Home") show(0);
        else if (event.key === "End") show(last);
        else if (event.key === "Escape") show(-1);
        else return;
        event.preventDefault();
        const spot = current < 0 ? null : place(view, current);
        if (spot === null) return;
        const scale = view.svg.getBoundingClientRect().width / WIDTH;
        const room = view.box.clientWidth / 2;
        if (view.box.scrollWidth > view.box.clientWidth) view.box.scrollLeft = spot[0] * scale - room;
      });
    }
    for (const row of section.querySelectorAll("tr[data-at]")) {
      row.addEventListener("pointerenter", () => show(nearest(data.at, Number(row.dataset.at))));
    }
  }
})();
`;
