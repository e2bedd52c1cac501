// Reads the key behind # in the address, asks which paper it leads to, and shows that.  The key goes
// nowhere but into the body of the request to this server.
const WORDS = {
  en: {
    other: "Español", waiting: "Asking for the paper …", from: "From", made: "Made on", until: "Can be read until",
    read: "Read here", larger: "Larger print", fit: "Fit to the screen", save: "Save as a file", kind: "The file is a PDF; a program that reads aloud can read it.", page: "Page {n} of {of}",
    note: "This link leads to this one paper. Its sender sees when it was opened, not by whom or from where. Whoever has the link can read the paper.",
    gone: "This link does not work", why: "It has ended, it was taken back, or a part of it is missing.",
    next: "Ask whoever sent it for another.", often: "Too many tries came from here", wait: "Wait a quarter of an hour, then open the link again.",
    away: "The paper cannot be fetched now", awayNext: "The machine that keeps it does not answer. Try again later.", again: "Try again",
  },
  es: {
    other: "English", waiting: "Pidiendo el documento …", from: "De", made: "Hecho el", until: "Se puede leer hasta",
    read: "Leer aquí", larger: "Letra más grande", fit: "Ajustar a la pantalla", save: "Guardar como archivo", kind: "El archivo es un PDF; un programa de lectura en voz alta puede leerlo.", page: "Página {n} de {of}",
    note: "Este enlace lleva solo a este documento. Quien lo envió ve cuándo se abrió, no quién ni desde dónde. Quien tenga el enlace puede leer el documento.",
    gone: "Este enlace no funciona", why: "Ha terminado, fue retirado o le falta una parte.",
    next: "Pida otro a quien se lo envió.", often: "Llegaron demasiados intentos desde aquí", wait: "Espere un cuarto de hora y vuelva a abrir el enlace.",
    away: "Ahora no se puede traer el documento", awayNext: "La máquina que lo guarda no responde. Inténtelo más tarde.", again: "Intentar otra vez",
  },
};
const part = (id) => document.getElementById(id);
let language = navigator.language.startsWith("es") ? "es" : "en";
let state = { what: "waiting" };
let large = false;

function show() {
  const words = WORDS[language];
  const put = (id, text) => { part(id).textContent = text; };
  // The reader's own way to write a day, where that is in this language.
  const place = navigator.languages.find((one) => one.startsWith(language)) ?? language;
  const day = (at) => new Date(at).toLocaleString(place, { dateStyle: "long", timeStyle: "short" });
  document.documentElement.lang = language;
  part("language").hidden = false;
  part("language").lang = language === "en" ? "es" : "en";
  put("language", words.other);
  for (const id of ["waiting", "paper", "refused"]) part(id).hidden = true;
  if (state.what === "waiting") {
    part("waiting").hidden = false;
    put("waiting", words.waiting);
  } else if (state.what === "paper") {
    const { about } = state;
    part("paper").hidden = false;
    document.title = about.title;
    put("title", about.title);
    part("title").lang = about.language;
    for (const [id, text] of [["from", about.sender], ["made", day(about.printed)], ["until", day(about.until)]]) {
      put(id, text);
      put(`${id}-word`, words[id]);
    }
    put("read", state.pages ? (large ? words.fit : words.larger) : words.read);
    put("save", words.save);
    put("kind", words.kind);
    put("note", words.note);
    showPages();
  } else {
    const { what } = state;
    const told = { gone: [words.gone, words.why, words.next], often: [words.often, words.wait, ""], away: [words.away, words.awayNext, ""] }[what];
    part("refused").hidden = false;
    document.title = told[0];
    part("refused").querySelector("h1").textContent = told[0];
    put("why", told[1]);
    put("next", told[2]);
    part("again").hidden = what !== "away";
    put("again", words.again);
  }
}

// Pages are pictures: nothing in them can run or fetch anything.
function showPages() {
  const pages = state.pages ?? [];
  const shown = part("pages");
  shown.classList.toggle("large", large);
  if (shown.children.length !== pages.length) {
    shown.replaceChildren(...pages.map((address) => Object.assign(new Image(), { src: address })));
  }
  [...shown.children].forEach((one, at) => {
    one.alt = WORDS[language].page.replace("{n}", at + 1).replace("{of}", pages.length);
  });
}

async function asked(path) {
  const told = await fetch(path, {
    method: "POST", credentials: "omit", headers: { "content-type": "application/json" },
    body: JSON.stringify({ token: location.hash.slice(1) }),
  });
  if (told.ok) return told;
  throw told.status === 429 ? "often" : told.status >= 500 ? "away" : "gone";
}

// Whatever goes wrong is one of three: the link, too many tries, the machine that does not answer.
async function tried(what) {
  try {
    await what();
  } catch (error) {
    state = { what: typeof error === "string" ? error : "away" };
    part("pages").replaceChildren();
  }
  show();
}

const ask = () => tried(async () => {
  state = { what: "waiting" };
  part("pages").replaceChildren();
  show();
  if (!location.hash.slice(1)) throw "gone";
  const about = await (await asked("/api/link")).json();
  if (about.language in WORDS) language = about.language;
  state = { what: "paper", about };
});

async function pressed(button, what) {
  part(button).disabled = true;
  await tried(what);
  part(button).disabled = false;
}

part("read").addEventListener("click", () => pressed("read", async () => {
  if (state.pages) {
    large = !large;
    return;
  }
  const pages = await (await asked("/api/link/pages")).json();
  state.pages = pages.map((one) => URL.createObjectURL(new Blob([one], { type: "image/svg+xml" })));
  show();
  await part("pages").firstElementChild?.decode();
  part("pages").scrollIntoView();
}));
part("save").addEventListener("click", () => pressed("save", async () => {
  const file = document.createElement("a");
  file.href = URL.createObjectURL(await (await asked("/api/link/paper")).blob());
  file.download = `${state.about.title}.pdf`;
  file.click();
}));
part("language").addEventListener("click", () => {
  language = language === "en" ? "es" : "en";
  show();
});
part("again").addEventListener("click", ask);
addEventListener("hashchange", ask);
ask();
