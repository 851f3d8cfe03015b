// The page of one learner: come in, answer, read the explanation. What it shows is set as text.
"use strict";

const PAUSE = 1500; // milliseconds between looks; each device adds some of its own
const CLOSED = "Not connected just now; trying again. What you typed stays here.";
const part = (id) => document.getElementById(id);
let shown = null; // what is on the page now
let tag = "";
let waiting = 0;
let failing = false;

function say(text) {
  if (part("status").textContent !== text) part("status").textContent = text;
}

function show(element, text) {
  const kept = element.textContent === text;
  if (!kept) element.textContent = text;
  element.hidden = text === "";
}

function paragraphs(id, texts) {
  if ((shown?.[id] ?? []).join("\n") === texts.join("\n")) return;
  part(id).replaceChildren(...texts.map((text) => {
    const paragraph = document.createElement("p");
    paragraph.textContent = text;
    return paragraph;
  }));
}

function knock() {
  part("inside").hidden = true;
  if (!part("door").hidden) return;
  part("door").hidden = false;
  const scanned = decodeURIComponent(location.hash.slice(1)).replaceAll("-", " ");
  if (scanned !== "") part("room").value = scanned;
  part(scanned === "" ? "room" : "name").focus();
}

function display(now) {
  const isNew = shown === null || shown.question !== now.question || shown.round !== now.round
    || shown.stage !== now.stage;
  part("door").hidden = true;
  part("inside").hidden = false;
  part("title").textContent = now.title;
  paragraphs("texts", now.texts);
  paragraphs("told", now.told);
  show(part("asked"), now.asked);
  part("predict").hidden = now.stage !== "asking";
  const picture = part("picture");
  picture.hidden = !now.picture;
  const source = `picture?question=${now.question}`;
  if (now.picture && picture.getAttribute("src") !== source) picture.src = source;
  show(part("listing"), now.listing);
  if (isNew && now.stage === "asking") part("answer").value = "";
  const received = now.stage === "asking"
    ? `Received: ${now.yours}. You can send another until the answer is shown.`
    : `You answered: ${now.yours}`;
  show(part("yours"), now.yours === "" ? "" : received);
  show(part("reply"), now.reply);
  if (isNew && shown !== null) {
    say({
      asking: now.round > 1 ? "The question is asked once more." : "A new question.",
      revealed: "The answer is shown.", reading: "Something to read.",
      over: "The session is over.",
    }[now.stage]);
  } else if (isNew || failing) {
    say(now.yours === "" ? "You are in." : "You are in, and your answer is here.");
  }
  failing = false;
  shown = now;
}

async function look() {
  try {
    const headers = tag === "" ? {} : { "If-None-Match": tag };
    const reply = await fetch("now", { headers, cache: "no-store" });
    if (reply.status === 403) {
      tag = "";
      paragraphs("texts", []);
      paragraphs("told", []);
      shown = null;
      knock();
      return;
    }
    if (reply.status === 200) {
      tag = reply.headers.get("ETag") ?? "";
      display(await reply.json());
    } else if (reply.status === 304 && failing) {
      failing = false;
      say("Connected again.");
    }
  } catch {
    if (shown?.stage === "over") return; // whoever leads has closed the page, as they should
    failing = true;
    say(CLOSED);
  }
}

function lookLater() {
  clearTimeout(waiting);
  const pause = document.hidden ? 8 * PAUSE : PAUSE;
  waiting = setTimeout(lookOn, pause * (0.8 + 0.4 * Math.random()));
}

async function lookOn() {
  clearTimeout(waiting);
  await look();
  lookLater();
}

async function post(path, sent) {
  const reply = await fetch(path, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(sent),
  });
  let told = {};
  try {
    told = await reply.json();
  } catch {
    told = {};
  }
  return [reply.ok, told.said ?? (reply.ok ? "" : "That was not taken. Try again.")];
}

part("door").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const sent = { room: part("room").value, name: part("name").value };
    const [isIn, text] = await post("come-in", sent);
    if (!isIn) {
      say(text);
      part("room").focus();
      return;
    }
    say("You are in.");
    await lookOn();
    part("asked").focus();
  } catch {
    say(CLOSED);
  }
});

part("predict").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (shown === null) return;
  const sent = { text: part("answer").value, question: shown.question, round: shown.round };
  try {
    const [isTaken, text] = await post("predict", sent);
    say(isTaken ? "Your answer has been received." : text);
    await lookOn();
  } catch {
    failing = true;
    say(CLOSED);
  }
});

document.addEventListener("visibilitychange", () => { if (!document.hidden) lookOn(); });
lookOn();
