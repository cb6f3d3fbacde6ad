// The settings: what is changed is charted at once.

import { byId } from "./dom.js";

const WAIT_MS = 350; // after the last change, so that typing a number is one change

export class SettingsForm {
  // `onChange` is called with the settings that are other than those asked for last, as text.
  constructor(onChange) {
    this.form = byId("settings-form");
    this.timer = 0;
    this.asked = {}; // those of the chart, and what was asked for since, which may be refused
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", () => {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => {
        this.timer = 0;
        const changes = this.changes();
        if (!this.form.checkValidity() || !Object.keys(changes).length) return;
        Object.assign(this.asked, changes);
        onChange(changes);
      }, WAIT_MS);
    });
  }

  changes() {
    const { wide, fractions, most_threads, thin, calm } = this.form.elements;
    const wanted = {
      wide: wide.value,
      fractions: fractions.value,
      most_threads: most_threads.value,
      thin: thin.value,
      calm: calm.checked ? "yes" : "no",
    };
    return Object.fromEntries(Object.entries(wanted).filter(([name, value]) => value !== this.asked[name]));
  }

  // Shows the settings of the chart, but not over what is being typed.
  show(settings) {
    this.asked = { ...settings };
    if (this.timer) return;
    for (const [name, value] of Object.entries(settings)) {
      const field = this.form.elements[name];
      if (!field || field === document.activeElement) continue;
      if (field.type === "checkbox") field.checked = value === "yes";
      else field.value = value;
    }
  }
}
