// Texts in and out: examples, files opened or dropped, what is pasted, what is saved. Nothing
// leaves the page but to its own server and to the person's own downloads.

const MOST = 120 * 1024;

/** Whether a text is a job: it names its lathe and has work to do. */
function isJob(text) {
  return /^\s*lathe\s*=/m.test(text) && /^\s*\[work\]/m.test(text);
}

/** The texts of the page; `opened(texts)` hears new ones, `wrong(words)` what can't be opened. */
export class Files {
  constructor(host, opened, wrong) {
    Object.assign(this, { opened, wrong, texts: null });
    const find = (id) => document.getElementById(id);
    this.areas = { job: find("job-text"), lathe: find("lathe-text") };
    this.example = find("example");
    find("open").addEventListener("change", (event) => this.take([...event.target.files]).finally(() => (event.target.value = "")));
    find("save-job").addEventListener("click", () => this.save("job"));
    find("save-lathe").addEventListener("click", () => this.save("lathe"));
    find("use-texts").addEventListener("click", () => this.use());
    for (const area of Object.values(this.areas)) area.addEventListener("input", () => this.dirty(true));
    document.addEventListener("dragover", (event) => {
      event.preventDefault();
      document.body.classList.add("dropping");
    });
    document.addEventListener("dragleave", (event) => {
      if (!event.relatedTarget) document.body.classList.remove("dropping");
    });
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      document.body.classList.remove("dropping");
      this.take([...event.dataTransfer.files]);
    });
  }

  /** Offers the examples; `chosen(id)` hears which. */
  offer(examples, chosen) {
    for (const { id, title } of examples) {
      const option = document.createElement("option");
      option.value = id;
      option.textContent = title;
      this.example.append(option);
    }
    this.example.addEventListener("change", () => {
      if (this.example.value) chosen(this.example.value);
      this.example.value = "";
    });
  }

  dirty(is) {
    document.getElementById("use-texts").disabled = !is;
  }

  /** Shows the texts as they are now. */
  show(texts) {
    this.texts = texts;
    for (const [which, area] of Object.entries(this.areas)) {
      if (document.activeElement !== area) area.value = texts[which].text;
      document.getElementById(`${which}-file`).textContent = texts[which].name;
    }
    this.dirty(false);
  }

  use() {
    const text = (which) => ({ name: this.texts[which].name, text: this.areas[which].value });
    this.opened({ job: text("job"), lathe: text("lathe") });
  }

  /** Takes files: a job, a lathe, or both. */
  async take(files) {
    const texts = { ...this.texts };
    for (const file of files.slice(0, 2)) {
      if (file.size > MOST) return this.wrong(`${file.name} is too long to be a job or a lathe`);
      let text;
      try {
        text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
      } catch {
        return this.wrong(`${file.name} is not UTF-8 text: save it as plain text in UTF-8`);
      }
      texts[isJob(text) ? "job" : "lathe"] = { name: file.name, text };
    }
    return files.length ? this.opened(texts) : undefined;
  }

  save(which) {
    const { name, text } = this.texts[which];
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
    link.download = name.split(/[\\/]/).pop();
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }
}
