// Follows the record, and says when this page is blind: turnrow has stopped, or
// the stream of its beats is lost, or this device slept. What stands here may be
// old then, and READY is not known. Counts ages on by itself.
'use strict';
(() => {
  const body = document.body, line = document.getElementById('blind');
  const every = Number(body.dataset.beat), late = 2.5 * every;
  const [justNow, ...words] = JSON.parse(body.dataset.ages);
  const [oldWords, aheadWords] = words.splice(6);
  let heard = Date.now();                         // the last beat
  let ahead = Number(body.dataset.made) - heard;  // turnrow's clock less this browser's
  let blind = 0;                                  // since when, by turnrow's clock; 0 while it sees
  let stream, asked, coming = false, renew = false;

  // A new stream is also the question whether turnrow is there: its first beat
  // is the answer. A later one that is late was kept on the way, by a sleep, say.
  function listen() {
    stream?.close();
    const mine = stream = new EventSource('/changes');
    let beats = 0;
    asked = Date.now();
    mine.addEventListener('version', (e) => {
      document.dispatchEvent(new Event('news')); // for hold.js
      if (mine === stream && !blind && e.data !== body.dataset.version) turnrow.refresh();
    });
    mine.addEventListener('beat', (e) => {
      if (mine !== stream) return;
      const [device, now, met] = e.data.split(' ');
      if (beats++ && Number(now) < Date.now() + ahead - late) doubt();
      else hear(device, Number(now), met);
    });
    mine.addEventListener('error', () => {
      if (mine !== stream) return;
      mine.close();
      stream = null;
      if (blind) say('lost');
      else doubt();
    });
  }

  async function hear(device, now, met) {
    if (device !== body.dataset.device) { location.reload(); return; }
    heard = Date.now();
    ahead = now - heard;
    if (met !== '0') for (const e of document.querySelectorAll('[data-met]')) e.dataset.since = met;
    ages();
    if (!blind || coming) return;
    if (renew) { location.reload(); return; }
    coming = true; // what stood here is old until it was fetched anew
    const well = await turnrow.refresh();
    coming = false;
    if (well && stream) say('');
  }

  // Nothing is known until turnrow has answered.
  function doubt() {
    say('asking');
    listen();
  }

  function say(what) {
    blind = what && (blind || heard + ahead);
    if (what) body.dataset.blind = what;
    else delete body.dataset.blind;
    const text = what && line.dataset[what].replace('%s', since());
    if (line.textContent !== text) line.textContent = text;
    ages();
  }

  // The time of day, where the farm is; on another day, how long ago it is too.
  function since() {
    const clock = new Date(blind + Number(body.dataset.zone)).toISOString().slice(11, 16);
    const past = Date.now() + ahead - blind;
    return past < 12 * 3600e3 ? clock : clock + ', ' + ago(past);
  }

  function tick() {
    if (blind && (!stream || Date.now() - asked > every)) {
      if (stream) say('lost');
      listen();
    } else if (!blind && Math.abs(Date.now() - heard) > late) doubt();
    ages();
  }

  function ago(past) {
    if (past < 60e3) return justNow;
    const [at, size] = past < 3600e3 ? [0, 60e3] : past < 86400e3 ? [2, 3600e3] : [4, 86400e3];
    const n = Math.floor(past / size);
    return n === 1 ? words[at] : words[at + 1].replace('%d', n);
  }
  function ages() {
    for (const e of document.querySelectorAll('[data-since]')) {
      const past = Date.now() + ahead - e.dataset.since, from = Number(e.dataset.old);
      const wrong = past < -120e3, old = wrong || from > 0 && past >= from;
      const text = wrong ? aheadWords : old ? oldWords.replace('%s', ago(past)) : ago(past);
      if (e.textContent !== text) e.textContent = text;
      e.classList.toggle('old', old);
    }
  }

  // What cannot be opened leaves this view where it is: it is all that is known.
  document.addEventListener('click', async (e) => {
    const a = e.target.closest('a[href]');
    if (!blind || !a || e.defaultPrevented || a.getAttribute('href').startsWith('#')) return;
    e.preventDefault();
    try {
      await fetch(a.href, { method: 'HEAD', signal: AbortSignal.timeout(every) });
      location.href = a.href;
    } catch {
      line.textContent = line.dataset.unopened;
    }
  });

  addEventListener('pageshow', (e) => { if (e.persisted) { renew = true; doubt(); } });
  addEventListener('pagehide', () => { stream?.close(); stream = null; });
  for (const wakes of ['visibilitychange', 'resume']) document.addEventListener(wakes, tick);
  for (const wakes of ['focus', 'online']) addEventListener(wakes, tick);
  setInterval(tick, 1000);
  listen();
})();
