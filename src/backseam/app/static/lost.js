/* What was taken out of the book is brought back, and opened. */
const button = document.querySelector("#bring-back"), said = document.querySelector("#said");

button.addEventListener("click", async () => {
  try {
    const answer = await fetch(button.dataset.at, { method: "POST", headers: { "content-type": "application/json" }, body: "{}" });
    if (answer.ok) location.reload();
    else said.textContent = (await answer.json()).text;
  } catch { said.textContent = button.dataset.trouble; }
});
