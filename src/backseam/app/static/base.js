/* On every page, before anything is drawn: night and arm's length, kept in this browser. */
(() => {
  "use strict";
  const root = document.documentElement;
  const kept = (key) => { try { return localStorage.getItem(key); } catch { return null; } };
  const keep = (key, value) => { try { localStorage.setItem(key, value); } catch { /* a private window works, and forgets */ } };
  const dark = () => root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  const wanted = { theme: kept("theme"), reach: kept("reach") };
  if (wanted.theme === "dark" || wanted.theme === "light") root.dataset.theme = wanted.theme;
  if (wanted.reach === "arm") root.dataset.reach = "arm";
  document.addEventListener("DOMContentLoaded", () => {
    const theme = document.getElementById("theme"), reach = document.getElementById("reach");
    const show = () => {
      theme?.setAttribute("aria-pressed", String(dark()));
      reach?.setAttribute("aria-pressed", String(root.dataset.reach === "arm"));
    };
    theme?.addEventListener("click", () => { root.dataset.theme = dark() ? "light" : "dark"; keep("theme", root.dataset.theme); show(); });
    reach?.addEventListener("click", () => {
      if (root.dataset.reach === "arm") delete root.dataset.reach; else root.dataset.reach = "arm";
      keep("reach", root.dataset.reach ?? ""); show(); dispatchEvent(new Event("reach"));
    });
    show();
  });
})();
