// While long work runs, its progress is fetched anew each second; once it has ended, the page is read again.
(() => {
  "use strict";
  const place = document.querySelector("[data-progress]");
  if (!place) return;
  const EVERY_MS = 1000;
  const MOST_MISSES = 10; // a tablet out of reach of the network stops asking; the page still has its link
  let misses = 0;

  const again = () => setTimeout(look, EVERY_MS);
  const look = async () => {
    try {
      const answer = await fetch(place.dataset.progress, { headers: { Accept: "text/html" } });
      if (!answer.ok) throw new Error(answer.statusText);
      if (answer.headers.get("X-Ended")) {
        location.reload();
        return;
      }
      place.innerHTML = await answer.text();
      misses = 0;
    } catch {
      misses += 1;
      if (misses >= MOST_MISSES) return;
    }
    again();
  };
  again();
})();
