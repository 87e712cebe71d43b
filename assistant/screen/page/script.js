"use strict";
// Shows what the bench sends, part by part, and sends it key presses. Keeps nothing but what it was shown last.

const BOUNCE = 25; // ms within which the same key again is its contact bouncing
const RETRY = [100, 250, 500, 1000]; // ms between tries to connect again
const LEAST_DIGITS = 12; // digits are never smaller than this part of the height of the screen
// To make digits as large as that, one after another: the fraction larger beside the whole, on one line with it, the
// page without the piece, without the tape.
const MEASURES = [[], ["even"], ["even", "slash"], ["even", "snug"], ["even", "slash", "snug"], ["even", "snug", "tight"],
  ["even", "slash", "snug", "tight"]];
const CAUTIONS = [3.2, 2.8, 2.4, 2, 1.7]; // sizes of the cautions: the largest in which all of them are seen
const DIGIT = 0.75; // height of a digit in our font, in its size
const SHORT = 28; // letters of what is keyed or heard that have room to be set large
const byId = (id) => document.getElementById(id);
const bench = byId("bench");
const parts = {};
let question = ""; // the one that is open, without its choices

millimeter(); // before anything is laid out

// ---- The keys, as they lie on a keypad: area, what is sent, sign, word.
const PAD = [
  ["k7", "7"], ["k8", "8"], ["k9", "9"], ["k4", "4"], ["k5", "5"], ["k6", "6"], ["k1", "1"], ["k2", "2"], ["k3", "3"],
  ["k0", "0"], ["dt", ".", ".", "and"], ["sl", "/", "/", "over"], ["st", "*", "*", "jobs"], ["mi", "-", "−", "less"],
  ["pl", "+", "+", "plus"], ["en", "E", "↵", "Enter"], ["bs", "<", "←", "undo"],
];
const ACTIONS = [
  ["E", "↵", "Enter"], ["-", "←", "Back"], [".", "⟳", "Again"], ["/", "?", "How come"], ["*", "*", "Jobs"],
];

function key(sent, sign, word) {
  const button = document.createElement("button");
  button.className = sent === "E" ? "key enter" : "key";
  button.type = "button";
  button.dataset.press = sent;
  const big = document.createElement("b");
  big.textContent = sign || sent;
  button.append(big);
  if (word) {
    const small = document.createElement("span");
    small.textContent = word;
    button.append(small);
    button.setAttribute("aria-label", word);
  }
  return button;
}

function drawn(shape, word, id) {
  const button = document.createElement("button");
  button.className = "key";
  button.type = "button";
  button.id = id;
  button.innerHTML = `<svg aria-hidden="true"><use href="#${shape}"/></svg><span>${word}</span>`;
  return button;
}

for (const [area, sent, sign, word] of PAD) {
  const button = key(sent, sign, word);
  button.style.gridArea = area;
  byId("pad").append(button);
}
const fold = drawn("fold", "Close", "close-pad");
fold.style.gridArea = "fold";
byId("pad").append(fold);
for (const [sent, sign, word] of ACTIONS) byId("actions").append(key(sent, sign, word));
const talk = drawn("ear", "Talk", "talk");
talk.setAttribute("aria-label", "Hold to talk");
byId("actions").append(drawn("keys", "Keys", "open-pad"), talk);
for (let n = 1; n <= 12; n++) {
  const bar = document.createElement("i");
  bar.style.height = `${20 + n * 6.5}%`;
  byId("level").append(bar);
}

// ---- Showing.
const say = (id, words) => { byId(id).textContent = words || ""; };

const show = {
  version(now) {
    if (parts.version && parts.version !== now) location.reload();
  },
  state(sign) {
    byId("state").className = sign.color;
    byId("state").querySelector("use").setAttribute("href", `#${sign.shape}`);
    say("label", sign.label);
    say("hint", sign.hint);
  },
  level(now) {
    [...byId("level").children].forEach((bar, n) => bar.classList.toggle("on", n < now));
  },
  voice(here) {
    byId("level").hidden = talk.hidden = !here;
  },
  notice(sentence) {
    byId("notice").hidden = !sentence;
    say("notice", sentence);
  },
  pairing(words) {
    byId("pairing").hidden = !words;
    say("pairing", words);
  },
  may(allowed) {
    document.body.classList.toggle("viewer", !allowed);
    byId("pair").hidden = allowed;
    if (!allowed && code) send({ pair: code }); // the bench was restarted, or the network was away
    code = allowed ? code : "";
  },
  words: heard,
  entry: heard,
  enter(word) {
    for (const button of document.querySelectorAll(".enter")) {
      button.lastChild.textContent = word;
      button.setAttribute("aria-label", word);
    }
  },
  answer(answer) {
    const choices = answer.choices.length;
    const bare = choices && answer.status === "question";
    const crowded = bare && choices > 6;
    asked(bare);
    bench.className = Object.entries({
      padded: bench.classList.contains("padded"), [answer.status]: true, asking: choices, bare, crowded,
      prompt: !choices && answer.status === "question", few: choices && choices < 5, showing: answer.steps.length,
      cautioned: answer.cautions.length, walked: answer.walked,
    }).filter(([, holds]) => holds).map(([name]) => name).join(" ");
    question = bare ? /^.*?[.?!](?=\s|$)/.exec(answer.say)?.[0] || answer.say : ""; // the rest is on the choices
    say("say", question || answer.say);
    byId("held").hidden = !answer.held;
    byId("held").lastChild.textContent = answer.held;
    filled("cautions", answer.cautions, "li", (li, words) => {
      li.innerHTML = '<svg aria-hidden="true"><use href="#warning"/></svg>';
      li.append(words);
    });
    filled("steps", answer.steps, "li", (li, step) => {
      li.innerHTML = step.picture;
      li.append(step.say);
    });
    filled("choices", answer.choices, "button", (button, choice) => {
      button.type = "button";
      button.className = "choice";
      button.dataset.press = choice.key;
      button.innerHTML = `<b></b>${choice.picture}<span></span>`;
      button.querySelector("b").textContent = choice.key;
      button.querySelector("span").textContent = choice.say;
    });
    heard();
    fit();
  },
  picture(picture) {
    const shown = picture.figures;
    byId("figures").replaceChildren(...(shown ? [figures(shown, picture.lean)] : []));
    say("place", picture.place);
    say("name", [picture.name, picture.beside, picture.exact].filter(Boolean).join("  ·  "));
    filled("others", picture.others || [], "li", (li, other) => {
      li.append(other.name, Object.assign(document.createElement("b"), { textContent: other.is }));
    });
    fit();
  },
};

function filled(id, items, tag, fill) {
  byId(id).replaceChildren(...items.map((item) => {
    const element = document.createElement(tag);
    fill(element, item);
    return element;
  }));
  byId(id).hidden = !items.length;
}

function heard() {
  const { entry, words, answer } = parts;
  byId("heard").className = entry ? "keying" : words ? "live" : "";
  const crowded = bench.classList.contains("crowded");
  byId("heard").classList.toggle("short", (entry || words || "").length <= SHORT);
  say("heard", entry || words || (crowded ? question : answer && answer.heard));
}

function figures(shown, lean) {
  const spoken = [shown.feet && `${shown.feet} feet`, shown.whole, shown.top && `${shown.top}/${shown.bottom}`, shown.unit,
    lean === "on" ? "" : lean].filter(Boolean).join(" ");
  const all = document.createElement("div");
  all.setAttribute("role", "img");
  all.setAttribute("aria-label", spoken);
  const span = (name, words, into) => {
    const element = Object.assign(document.createElement("span"), { className: name, textContent: words });
    into.append(element);
    return element;
  };
  if (shown.feet) span("feet", `${shown.feet}'`, all);
  const inches = span("inches", "", all);
  if (shown.whole) span(shown.whole.length > 6 ? "whole long" : "whole", shown.whole, inches);
  if (shown.top) {
    const fraction = span("fraction", "", inches);
    for (const number of [shown.top, shown.bottom]) {
      fraction.append(Object.assign(document.createElement("b"), { textContent: number }));
    }
  }
  if (shown.unit) span("unit", shown.unit, inches);
  if (lean && lean !== "on") {
    const word = span("lean", "", inches);
    word.innerHTML = `<svg aria-hidden="true"><use href="#${lean === "plus" ? "over" : "under"}"/></svg>`;
    word.append(lean);
  }
  return all;
}

function millimeter() {
  document.documentElement.style.setProperty("--mm", `${Math.hypot(innerWidth, innerHeight) / 254}px`);
}

// Everything that goes by the size of the screen.
function fit() {
  millimeter();
  const picture = parts.picture || {};
  for (const name of ["tape", "piece"]) {
    const box = byId(name);
    const drawings = picture[name] || [];
    if (!drawings.length) { box.replaceChildren(); continue; }
    const narrow = box.parentElement.clientWidth < innerHeight * 0.85;
    box.innerHTML = drawings[narrow ? 1 : 0];
  }
  for (const measure of MEASURES) {
    bench.classList.remove("even", "slash", "snug", "tight");
    bench.classList.add(...measure);
    if (set() >= innerHeight / LEAST_DIGITS) break;
  }
  const side = byId("beside");
  if (byId("cautions").hidden) return;
  for (const size of CAUTIONS) {
    side.style.setProperty("--caution", `${size}vh`);
    if (side.scrollHeight <= side.clientHeight) break;
  }
}

// Sets the figures as large as there is room for. Returns the height of the smallest digit.
function set() {
  const all = byId("figures").firstElementChild;
  if (!all) return Infinity;
  const { clientWidth: wide, clientHeight: high } = byId("figures");
  const size = (stacked) => {
    all.classList.toggle("stacked", stacked);
    all.style.fontSize = "100px";
    return 97 * Math.min(wide / all.offsetWidth, high / all.offsetHeight);
  };
  const line = size(false);
  const best = parts.picture.figures.feet && size(true) > line * 1.1 ? size(true) : size(false);
  all.style.fontSize = `${Math.floor(best)}px`;
  return DIGIT * parseFloat(getComputedStyle(all.querySelector(".fraction") || all).fontSize);
}
new ResizeObserver(fit).observe(byId("figures"));
addEventListener("resize", fit);
document.fonts.ready.then(fit);

// ---- The connection.
let socket = null;
let tries = 0;
let lost = false; // a page that has just come is not cut off

function connect() {
  socket = new WebSocket(`ws://${location.host}/live`);
  socket.onmessage = (message) => {
    tries = 0;
    lost = false;
    const changed = JSON.parse(message.data);
    if (changed.version) show.version(changed.version);
    Object.assign(parts, changed);
    for (const name of Object.keys(changed)) if (name !== "version" && show[name]) show[name](changed[name]);
    alarm();
  };
  socket.onclose = () => {
    socket = null;
    lost = true;
    alarm();
    setTimeout(connect, RETRY[Math.min(tries++, RETRY.length - 1)]);
  };
}

// On another computer, until it is paired at the bench.
let code = "";
byId("pair").addEventListener("submit", (event) => {
  event.preventDefault();
  code = byId("code").value.trim();
  byId("code").value = "";
  send({ pair: code });
});

const connected = () => socket !== null && socket.readyState === WebSocket.OPEN;

function send(message) {
  if (connected()) socket.send(JSON.stringify(message));
}

// ---- What he must see from across the shop: keys that go nowhere.
function alarm() {
  const [shape, words] = lost ? ["cut", "Not connected"] :
    !document.hasFocus() ? ["touch", "Touch the screen"] : ["", ""];
  byId("alarm").hidden = !words;
  if (words) byId("alarm").querySelector("use").setAttribute("href", `#${shape}`);
  byId("alarm").querySelector("span").textContent = words;
}
addEventListener("focus", alarm);
addEventListener("blur", alarm);

// ---- Pressing.
let last = { sent: "", when: 0 };

function press(sent, when) {
  if (sent !== last.sent || when - last.when >= BOUNCE) send({ press: sent });
  last = { sent, when };
  for (const button of document.querySelectorAll(`[data-press="${CSS.escape(sent)}"]`)) {
    button.classList.add("down");
    setTimeout(() => button.classList.remove("down"), 120);
  }
}

function padded(open) {
  bench.classList.toggle("padded", open);
  fit();
}

// Choices are keys themselves, and need the room: the keypad gives way to them until they are answered, or it is opened.
let choosing = false;
let lies = false; // whether the keypad is to lie open
function asked(now) {
  if (now !== choosing) bench.classList.toggle("padded", lies && !now);
  choosing = now;
}

const remembered = (name) => { try { return localStorage.getItem(name); } catch { return null; } };
const remember = (name, value) => { try { localStorage.setItem(name, value); } catch { /* only until it is closed */ } };

let talking = false;
function talkKey(down) {
  if (talking !== down) send({ talk: down });
  talking = down;
  talk.classList.toggle("down", down);
}

function pushed(button, when) {
  if (button.dataset.press) press(button.dataset.press, when);
  else if (button.id === "open-pad" || button.id === "close-pad") {
    const open = button.id === "open-pad";
    if (!choosing) {
      lies = open;
      remember("pad", open ? "open" : "closed");
    }
    padded(open);
  }
}

addEventListener("pointerdown", (event) => {
  const button = event.target.closest("button");
  if (!button || button.form) return;
  event.preventDefault(); // the focus stays with the page, and so do the keys
  if (button === talk) { button.setPointerCapture(event.pointerId); talkKey(true); } else pushed(button, event.timeStamp);
});
for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) {
  talk.addEventListener(end, () => talkKey(false));
}
addEventListener("click", (event) => { // a press that was no pointer's: a screen reader's
  const button = event.target.closest("button");
  if (button && event.detail === 0 && !event.pointerType) pushed(button, event.timeStamp);
});
addEventListener("contextmenu", (event) => event.preventDefault());

// By the place of the key on a keypad, whatever NumLock makes of it; elsewhere by what is printed on it.
const PLACES = { NumpadDecimal: ".", NumpadComma: ".", NumpadDivide: "/", NumpadMultiply: "*", NumpadSubtract: "-",
  NumpadAdd: "+", NumpadEnter: "E", NumpadEqual: "E", NumpadBackspace: "<", Enter: "E", Backspace: "<" };
const PRINTED = { ".": ".", ",": ".", "/": "/", "*": "*", "-": "-", "+": "+" };

function keyOf(event) {
  if (PLACES[event.code]) return PLACES[event.code];
  const digit = /^(?:Numpad|Digit)(\d)$/.exec(event.code);
  if (digit && !(event.code.startsWith("Digit") && event.shiftKey)) return digit[1];
  return /^\d$/.test(event.key) ? event.key : PRINTED[event.key];
}

// What this screen was taught, or else what the settings say.
const isTalk = (event) => {
  const taught = remembered("talk");
  return taught ? (event.code || event.key) === taught : event.key === parts.talk_key;
};

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || parts.may === false) return;
  const sent = keyOf(event);
  const named = event.code || event.key;
  if (!sent && talking && !event.repeat && named !== "Escape" && named !== "NumLock") {
    remember("talk", named); // held to talk on the screen, and another key or a pedal pressed: from now on that is it
  }
  if (!sent && (talk.hidden || !isTalk(event))) return;
  event.preventDefault();
  if (event.repeat) return;
  if (sent) press(sent, event.timeStamp);
  else talkKey(true);
});
addEventListener("keyup", (event) => {
  if (isTalk(event)) talkKey(false);
});
addEventListener("blur", () => talkKey(false));

lies = (remembered("pad") || (matchMedia("(pointer: coarse)").matches ? "open" : "closed")) === "open";
bench.classList.toggle("padded", lies);
requestAnimationFrame(fit);
alarm();
connect();
