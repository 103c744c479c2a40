// The curves of each start with zoom and read-out. Without scripts the pictures above stay, and say the same.
"use strict";
(function () {
  const traces = JSON.parse(document.getElementById("traces").textContent);
  function element(parent, name, text, attributes) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
    parent.appendChild(made);
    return made;
  }
  const shown = (signal, value) => signal.name === "start_contact" ? (value > 0.5 ? "made" : "open")
    : Number(value.toPrecision(4)) + (signal.unit ? " " + signal.unit : "");

  function build(place) {
    const trace = traces[Number(place.dataset.trace)];
    const time = trace.time_s, end = time[time.length - 1];
    place.hidden = false;
    element(place, "h4", "Instant by instant, with zoom and read-out: " + trace.corner);
    element(place, "p", "Drag across a chart to zoom, or use the buttons. The slider moves the instant that is read out; the arrow keys move it step by step.");
    const controls = element(place, "div", "", { "class": "controls" });
    const graphs = [];
    const dashes = (signal) => signal.dashes ? signal.dashes.split(" ").map(Number) : null;
    for (const { title, signals: names } of trace.panels) {
      const signals = names.map((name) => trace.signals.find((each) => each.name === name));
      element(place, "h5", title);
      const box = element(place, "div", "", { "class": "panel", role: "img",
        "aria-label": title + " over time: " + signals.map((each) => each.meaning).join(", ") });
      const rows = time.map((t, i) => [t].concat(signals.map((each) =>
        each.name === "start_contact" ? 100 * each.values[i] : each.values[i])));
      const series = {};
      signals.forEach((each) => { series[each.meaning] = { color: each.colour, strokePattern: dashes(each) }; });
      const graph = new Dygraph(box, rows, {
        labels: ["time"].concat(signals.map((each) => each.meaning)), series: series, strokeWidth: 1.6, legend: "never",
        axes: { x: { axisLabelFormatter: (t) => Number(t.toPrecision(6)) + " s" }, y: { axisLabelWidth: 48 } }, axisLabelFontSize: 13,
        animatedZooms: false, gridLineColor: "#d0d0d0"
      });
      graphs.push({ graph: graph, signals: signals });
      const key = element(place, "p", "", { "class": "key" });
      signals.forEach((each) => {
        const sample = document.createElementNS("http://www.w3.org/2000/svg", "svg");
        sample.setAttribute("width", "44"); sample.setAttribute("height", "10"); sample.setAttribute("aria-hidden", "true");
        const line = document.createElementNS("http://www.w3.org/2000/svg", "path");
        line.setAttribute("d", "M0 5H40"); line.setAttribute("stroke", each.colour); line.setAttribute("stroke-width", "2");
        if (each.dashes) line.setAttribute("stroke-dasharray", each.dashes);
        sample.appendChild(line);
        const entry = element(key, "span");
        entry.append(sample, each.meaning);
      });
    }
    Dygraph.synchronize(graphs.map((each) => each.graph), { selection: true, zoom: true, range: false });

    const cycle = 1 / trace.frequency_hz, opened = trace.start_contact_opened_s;
    const windowNow = () => graphs[0].graph.xAxisRange();
    function show(from, to) {
      const length = Math.min(Math.max(to - from, 2 * cycle), end);
      from = Math.min(Math.max(from, 0), end - length);
      graphs.forEach((each) => each.graph.updateOptions({ dateWindow: [from, from + length], valueRange: null }));
    }
    const zoom = (factor) => { const [a, b] = windowNow(), m = (a + b) / 2, h = factor * (b - a) / 2; show(m - h, m + h); };
    const shift = (share) => { const [a, b] = windowNow(), d = share * (b - a); show(a + d, b + d); };
    const button = (text, act) => element(controls, "button", text, { type: "button" }).addEventListener("click", act);
    button("Zoom in", () => zoom(0.5));
    button("Zoom out", () => zoom(2));
    button("Earlier", () => shift(-0.5));
    button("Later", () => shift(0.5));
    button("Whole start", () => show(0, end));
    if (opened !== null) button("Around the opening", () => show(opened - 5 * cycle, opened + 7 * cycle));

    const label = element(place, "label", "Instant that is read out");
    const slider = element(label, "input", "", { type: "range", min: 0, max: time.length - 1, step: 1, value: 0, "class": "instant" });
    const read = element(place, "p", "", { "class": "read-out", role: "status" });
    function readOut(row) {
      const parts = ["at " + time[row] + " s"];
      graphs.forEach((each) => each.signals.forEach((signal) => parts.push(signal.meaning + " " + shown(signal, signal.values[row]))));
      read.textContent = parts.join("; ");
      slider.setAttribute("aria-valuetext", time[row] + " seconds");
    }
    let ours = false;
    slider.addEventListener("input", () => {
      const row = Number(slider.value), [a, b] = windowNow();
      if (time[row] < a || time[row] > b) show(time[row] - (b - a) / 2, time[row] + (b - a) / 2);
      ours = true;
      graphs[0].graph.setSelection(row);
      graphs.forEach((each) => each.graph.setSelection(row));
      ours = false;
      readOut(row);
    });
    graphs.forEach((each) => each.graph.updateOptions({ highlightCallback: (event, x, points, row) => {
      if (!ours) { slider.value = row; readOut(row); }
    } }));
    const first = opened === null ? 0 : time.findIndex((t) => t >= opened);
    slider.value = first;
    readOut(first);
  }
  document.querySelectorAll(".chart").forEach(build);
})();
