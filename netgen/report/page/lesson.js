// Shows one position of a lesson at a time, and turns its arrows. Every picture and number is in the page already.
(function () {
  'use strict';
  var positions = Array.prototype.slice.call(document.querySelectorAll('.position'));
  var rows = document.querySelectorAll('.positions-table tbody tr');
  var controls = document.getElementById('controls');
  var slider = document.getElementById('slider');
  var value = document.getElementById('slider-value');
  var turn = document.getElementById('turn');
  var pace = document.getElementById('pace');
  var still = window.matchMedia && window.matchMedia('(prefers-reduced-motion: reduce)').matches;
  var secondsOfTurn = 6;
  var shown = Number(slider.value);
  var angle = 0;
  var last = null;

  function each(selector, change) {
    Array.prototype.forEach.call(positions[shown].querySelectorAll(selector), change);
  }

  // Counter-clockwise by that many degrees; letters stay upright.
  function rotate(group, degrees) {
    var centre = group.getAttribute('data-centre');
    group.setAttribute('transform', 'rotate(' + (-degrees) + ' ' + centre + ' ' + centre + ')');
    Array.prototype.forEach.call(group.querySelectorAll('text'), function (text) {
      text.setAttribute('transform', 'rotate(' + degrees + ' ' + text.getAttribute('x') + ' ' + text.getAttribute('y') + ')');
    });
  }

  function draw() {
    each('.turning, .turning-forward', function (group) { rotate(group, angle); });
    each('.turning-backward', function (group) { rotate(group, -angle); });
    each('.cursor', function (line) {
      line.setAttribute('transform', 'translate(' + Number(line.getAttribute('data-cycle')) * (angle % 720) / 360 + ' 0)');
    });
    each('.field-sum', function (dot) {
      var forward = Number(dot.getAttribute('data-forward')), backward = Number(dot.getAttribute('data-backward'));
      var at = (angle + 45) * Math.PI / 180;
      var centre = Number(dot.getAttribute('data-centre'));
      dot.setAttribute('cx', centre + (forward + backward) * Math.cos(at));
      dot.setAttribute('cy', centre - (forward - backward) * Math.sin(at));
    });
  }

  function show(position) {
    shown = Math.max(0, Math.min(positions.length - 1, position));
    positions.forEach(function (each, i) { each.hidden = i !== shown; });
    Array.prototype.forEach.call(rows, function (row, i) { row.classList.toggle('is-shown', i === shown); });
    var label = positions[shown].getAttribute('data-label');
    slider.value = shown;
    slider.setAttribute('aria-valuetext', label);
    value.textContent = label;
    document.getElementById('previous').disabled = shown === 0;
    document.getElementById('next').disabled = shown === positions.length - 1;
    draw();
  }

  function frame(now) {
    if (last === null) { return; }
    angle += 360 * Math.min(now - last, 100) / 1000 / secondsOfTurn;
    last = now;
    draw();
    window.requestAnimationFrame(frame);
  }

  slider.addEventListener('input', function () { show(Number(slider.value)); });
  document.getElementById('previous').addEventListener('click', function () { show(shown - 1); });
  document.getElementById('next').addEventListener('click', function () { show(shown + 1); });
  if (turn) {
    turn.textContent = still ? 'Turn by 30 degrees' : 'Turn';
    pace.textContent = still ? '' : 'slowed down ' + Math.round(secondsOfTurn * Number(turn.getAttribute('data-hertz'))) + ' times';
    turn.addEventListener('click', function () {
      if (still) {
        angle += 30;
        draw();
        return;
      }
      var begins = last === null;
      last = begins ? window.performance.now() : null;
      turn.textContent = begins ? 'Stop' : 'Turn';
      turn.setAttribute('aria-pressed', String(begins));
      if (begins) { window.requestAnimationFrame(frame); }
    });
  }
  window.addEventListener('beforeprint', function () {
    Array.prototype.forEach.call(document.querySelectorAll('details.answer'), function (details) { details.open = true; });
  });
  controls.hidden = false;
  show(shown);
}());
