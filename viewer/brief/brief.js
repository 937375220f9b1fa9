// Boxes that stay ticked, and a view of each pier that turns under a finger. Nothing is loaded from elsewhere.
"use strict";

const sheet = document.documentElement.dataset.sheet;

function stored(key, value) {
  // A browser may refuse to store anything for a file: then a tick lasts as long as the page.
  try {
    if (value === undefined) return localStorage.getItem(key);
    localStorage.setItem(key, value);
  } catch (refused) {
    return null;
  }
  return value;
}

for (const box of document.querySelectorAll(".checks input")) {
  const key = `pierclear ${sheet} ${box.id}`;
  box.checked = stored(key) === "1";
  box.addEventListener("change", () => stored(key, box.checked ? "1" : "0"));
}

const solids = JSON.parse(document.getElementById("solids").textContent);

class View {
  constructor(canvas) {
    this.canvas = canvas;
    this.turn = -0.6;
    this.tilt = 0.35;
    this.runs = solids[canvas.dataset.pier];
    let far = 1;
    for (const [, , p] of this.runs) {
      for (let i = 0; i < p.length; i += 3) far = Math.max(far, Math.hypot(p[i], p[i + 1], p[i + 2]));
    }
    this.scale = (0.48 * canvas.height) / far;
    this.from = null;
    canvas.addEventListener("pointerdown", (e) => {
      this.from = [e.clientX, e.clientY];
      canvas.setPointerCapture(e.pointerId);
    });
    canvas.addEventListener("pointermove", (e) => this.drag(e));
    canvas.addEventListener("pointerup", () => (this.from = null));
    canvas.addEventListener("pointercancel", () => (this.from = null));
    this.draw();
  }

  drag(e) {
    if (this.from === null) return;
    this.turn += (e.clientX - this.from[0]) * 0.01;
    this.tilt = Math.min(1.57, Math.max(-1.57, this.tilt + (e.clientY - this.from[1]) * 0.01));
    this.from = [e.clientX, e.clientY];
    this.draw();
  }

  draw() {
    const [c, s, ct, st] = [Math.cos(this.turn), Math.sin(this.turn), Math.cos(this.tilt), Math.sin(this.tilt)];
    const pieces = [];
    for (const [color, thick, p] of this.runs) {
      let last = null;
      for (let i = 0; i < p.length; i += 3) {
        const x = c * p[i] - s * p[i + 1];
        const away = s * p[i] + c * p[i + 1];
        const here = [x, st * away + ct * p[i + 2], ct * away - st * p[i + 2]];
        if (last !== null) pieces.push([last[2] + here[2], color, thick, last, here]);
        last = here;
      }
    }
    pieces.sort((a, b) => b[0] - a[0]);
    const pen = this.canvas.getContext("2d");
    const { width, height } = this.canvas;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, width, height);
    pen.lineCap = "round";
    for (const [, color, thick, a, b] of pieces) {
      pen.strokeStyle = color;
      pen.lineWidth = Math.max(1, thick * this.scale);
      pen.beginPath();
      pen.moveTo(width / 2 + a[0] * this.scale, height / 2 - a[1] * this.scale);
      pen.lineTo(width / 2 + b[0] * this.scale, height / 2 - b[1] * this.scale);
      pen.stroke();
    }
  }
}

for (const canvas of document.querySelectorAll("canvas")) new View(canvas);
