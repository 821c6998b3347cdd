// Raises a hold from whatever is open, and shows one that arrives at once: in the
// bar, the title and the icon, by a sound and by vibration where they are allowed.
'use strict';
(() => {
  const bar = () => document.getElementById('holds');
  const icon = document.querySelector('link[rel=icon]');
  const plain = document.title.slice(bar().dataset.title ? bar().dataset.title.length + 3 : 0);

  // Nothing moves under a finger: a touch that began somewhere ends there.
  let down = 0;
  const waiting = [];
  addEventListener('pointerdown', () => { down = Date.now(); }, true);
  for (const end of ['pointerup', 'pointercancel']) {
    addEventListener(end, () => setTimeout(() => { down = 0; waiting.splice(0).forEach((go) => go()); }, 300), true);
  }
  function lifted() { // but no hold waits for a finger that never lifts
    if (!down || Date.now() - down > 1500) return Promise.resolve();
    return new Promise((go) => { waiting.push(go); setTimeout(go, 1500); });
  }

  // The bar, as it is now. It grows over what is above, so that what is being
  // read or typed stays where it is.
  let looking = false, again = false;
  async function look() {
    if (looking) { again = true; return; }
    looking = true;
    try {
      const r = await fetch('/holds?at=' + encodeURIComponent(location.pathname + location.search));
      const fresh = r.ok && new DOMParser().parseFromString(await r.text(), 'text/html').getElementById('holds');
      await lifted();
      if (fresh && same(fresh) !== same(bar())) draw(fresh);
    } catch { /* looked again with the next event */ }
    looking = false;
    if (again) { again = false; look(); }
  }
  function same(el) { return el.outerHTML.replace(/name="number" value="[^"]*"/g, ''); }
  function draw(fresh) {
    document.documentElement.style.overflowAnchor = 'none'; // the browser would move the view once more
    setTimeout(() => { document.documentElement.style.overflowAnchor = ''; }, 500);
    const main = document.getElementById('main'), at = main.getBoundingClientRect().top;
    const known = bar().dataset.standing.split(' '), arrives = fresh.dataset.standing.split(' ').some((id) => !known.includes(id));
    const focus = bar().contains(document.activeElement);
    bar().replaceWith(document.importNode(fresh, true));
    const moved = main.getBoundingClientRect().top - at;
    document.body.style.minHeight = moved > 0 ? scrollY + moved + innerHeight + 'px' : ''; // a short view has to be able to
    scrollBy({ top: moved, behavior: 'instant' });
    const typing = document.activeElement, under = bar().getBoundingClientRect().bottom - typing.getBoundingClientRect().top + 8;
    if (main.contains(typing) && typing !== main && under > 0) scrollBy({ top: -under, behavior: 'instant' });
    if (focus) bar().querySelector('a, button')?.focus({ preventScroll: true });
    head();
    if (arrives) alarm();
  }
  function head() {
    const { title, icon: to } = bar().dataset;
    document.title = (title ? title + ' · ' : '') + plain;
    if (icon.getAttribute('href') !== to) icon.setAttribute('href', to);
  }

  // A browser lets a page sound only after somebody has touched it.
  let audio;
  for (const type of ['pointerdown', 'keydown']) {
    addEventListener(type, () => { try { audio ??= new AudioContext(); audio.resume(); } catch { /* silent, then */ } }, true);
  }
  function alarm() {
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([600, 200, 600, 200, 600]);
    if (audio?.state !== 'running') return;
    for (let i = 0; i < 3; i++) {
      const tone = audio.createOscillator(), begin = audio.currentTime + i * 0.5;
      tone.type = 'square';
      tone.frequency.value = 880;
      tone.connect(audio.destination);
      tone.start(begin);
      tone.stop(begin + 0.3);
    }
  }

  // HOLD, pressed. What a browser would do by itself fails where the program is
  // away, and takes the view along; this says so, and goes on trying.
  function raise(body, form) {
    sessionStorage.setItem('hold', body);
    say(form.dataset.sending);
    (async function attempt() {
      let r;
      try {
        r = await fetch('/hold', { method: 'POST', body: new URLSearchParams(body), keepalive: true, signal: AbortSignal.timeout(4000) });
      } catch {
        say(form.dataset.away);
        setTimeout(attempt, 700);
        return;
      }
      sessionStorage.removeItem('hold');
      if (r.redirected) location.assign(r.url);
      else form.submit(); // it was not written: the answer says why
    })();
  }
  function say(text) {
    let p = document.getElementById('raising');
    if (!p) {
      p = document.createElement('p');
      p.id = 'raising';
      p.setAttribute('role', 'alert');
      document.querySelector('.always').prepend(p);
    }
    if (p.textContent !== text) p.textContent = text;
  }
  // "I have seen it" leaves the view and what is typed in it as they are.
  document.addEventListener('submit', async (e) => {
    if (!e.target.matches('form.ack') || e.target.dataset.plain) return;
    e.preventDefault();
    e.stopImmediatePropagation();
    const form = e.target, button = e.submitter;
    const r = await fetch(form.action, { method: 'POST', body: new URLSearchParams(new FormData(form, button)), redirect: 'manual' }).catch(() => null);
    if (r?.type === 'opaqueredirect') look();
    else if (r) { // the answer says what is wrong
      form.dataset.plain = 'yes';
      form.requestSubmit(button);
    }
  }, true);

  let raising = false;
  document.addEventListener('submit', (e) => {
    if (!e.target.matches('form.raise')) return;
    e.preventDefault();
    e.stopImmediatePropagation();
    if (raising) return;
    raising = true;
    raise(new URLSearchParams(new FormData(e.target)).toString(), e.target);
  }, true);
  addEventListener('pageshow', (e) => { if (e.persisted) raising = false; });

  document.addEventListener('news', look);
  setInterval(look, 20000);
  const asked = () => { if (bar().dataset.asking > 0) alarm(); };
  asked();
  setInterval(asked, 15000); // until somebody says that they have seen it
  const left = sessionStorage.getItem('hold'); // the view was fetched again before it was written
  raising = Boolean(left);
  if (left) raise(left, document.querySelector('form.raise'));
})();
