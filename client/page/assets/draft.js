// Keeps what is typed on this device until it is saved, and what could not be
// sent until turnrow answers. Each form has a number, by which turnrow writes it
// once however often it comes. Without a store of the browser's all goes as it
// does without a script.
'use strict';
(() => {
  const box = document.getElementById('unsent'), farm = document.body.dataset.farm;
  if (!box || !farm) return;
  try { localStorage.setItem('turnrow', '1'); } catch { return; }

  const own = { token: 1, number: 1, who: 1 };  // fields that are no part of what is typed
  const elsewhere = ['/sync', '/units', '/who']; // these write nothing
  const patience = 10e3; // an answer that takes longer may come or not
  const stale = 12 * 3600e3, staleHold = 600e3; // older drafts are offered, not put in

  const all = (kind) => Object.keys(localStorage).filter((k) => k.startsWith(`turnrow ${kind} ${farm} `));
  const read = (key) => { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } };
  // The time of day where the farm is; on another day, the day too.
  const clock = (ms) => {
    const at = (t) => new Date(t + Number(document.body.dataset.zone ?? 0)).toISOString();
    return (at(ms).slice(0, 10) === at(Date.now()).slice(0, 10) ? '' : at(ms).slice(0, 10) + ' ') + at(ms).slice(11, 16);
  };
  const piece = (id) => document.getElementById(id).content.firstElementChild.cloneNode(true);
  const written = (f) => f.method === 'post' && f.elements.number && f.enctype !== 'multipart/form-data' && !elsewhere.includes(new URL(f.action).pathname);

  // What is lost by one touch is asked for twice.
  function sure(b, go) {
    if (b.dataset.asked) { go(); return; }
    b.dataset.asked = 'yes';
    b.textContent = b.dataset.sure;
  }

  // --- Drafts: what stands otherwise in a form than it began.

  function pathOf(form, by) { // a button may lead elsewhere than its form
    const at = new URL(by?.hasAttribute('formaction') ? by.formAction : form.action);
    at.searchParams.delete('wrote');
    return at.pathname + at.search;
  }
  function draftKey(form) {
    const about = [...form.elements].filter((e) => e.type === 'hidden' && !own[e.name]).map((e) => e.name + '=' + e.value);
    return `turnrow draft ${farm} ${form.elements.who?.value || '-'} ${pathOf(form)} ${about.join('&')}`;
  }
  const inputs = (form) => [...form.elements].filter((e) => e.name && !['hidden', 'submit', 'button', 'file', 'password', 'fieldset'].includes(e.type));
  const ticked = (e) => e.type === 'radio' || e.type === 'checkbox';
  function changed(e) {
    if ('posted' in document.body.dataset) return true; // it began as it was typed
    if (ticked(e)) return e.checked !== e.defaultChecked;
    if (e.tagName === 'SELECT') return [...e.options].some((o) => o.selected !== o.defaultSelected);
    return e.value !== e.defaultValue;
  }
  function typedIn(form) {
    const nth = {}, out = [];
    for (const e of inputs(form)) {
      const i = nth[e.name] = (nth[e.name] ?? -1) + 1;
      if (changed(e)) out.push([e.name, i, ticked(e) ? e.checked : e.value]);
    }
    return out;
  }
  let putting = false;
  function keep(e) {
    const form = e.target.form;
    if (putting || !form || !written(form) || !inputs(form).includes(e.target)) return;
    const typed = typedIn(form), key = draftKey(form);
    if (typed.length) localStorage.setItem(key, JSON.stringify({ at: Date.now(), typed }));
    else localStorage.removeItem(key);
  }
  document.addEventListener('input', keep);
  document.addEventListener('change', keep);

  function put(form, typed) {
    putting = true;
    for (const [name, i, val] of typed) {
      const e = inputs(form).filter((x) => x.name === name)[i];
      if (!e) continue;
      if (ticked(e)) e.checked = val;
      else e.value = val;
      for (let d = e.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
      e.dispatchEvent(new Event('input', { bubbles: true })); // the figures follow, and one field more
    }
    putting = false;
  }
  function restore(form) {
    const key = draftKey(form), draft = read(key);
    if (!draft || 'posted' in document.body.dataset) return;
    const late = Date.now() - draft.at > (pathOf(form).startsWith('/hold') ? staleHold : stale);
    const nobody = !form.elements.who.value; // who typed it is not known, nor whether the same one looks now
    const line = piece('t-kept'), text = line.querySelector('span'), [show, clear] = line.querySelectorAll('button');
    const putIn = () => {
      put(form, draft.typed);
      text.textContent = text.dataset.kept.replace('%s', clock(draft.at));
      show.hidden = true;
    };
    show.onclick = putIn;
    clear.onclick = () => sure(clear, () => {
      localStorage.removeItem(key);
      line.remove();
      begin(form);
    });
    if (late || nobody) text.textContent = text.dataset.offer.replace('%s', clock(draft.at));
    else putIn();
    form.prepend(line);
  }
  function begin(form) {
    putting = true;
    form.reset();
    for (const e of inputs(form)) e.dispatchEvent(new Event('input', { bubbles: true }));
    putting = false;
  }
  // What was saved is kept no longer.
  function saved(number) {
    localStorage.removeItem(waitKey(number));
    for (const k of all('draft')) if (read(k)?.number === number) localStorage.removeItem(k);
  }

  // --- What waits to be sent.

  const waitKey = (number) => `turnrow waits ${farm} ${number}`;
  const hold = (item) => localStorage.setItem(waitKey(item.number), JSON.stringify(item));

  // What a form says, in a few words.
  function words(form, by) {
    const said = inputs(form).filter((e) => e.checkVisibility() && (ticked(e) ? e.checked : e.value)).map((e) => {
      const label = e.labels?.[0]?.innerText.trim().split('\n')[0] ?? '';
      return ticked(e) ? label : e.type === 'textarea' ? e.value : `${label} ${e.value}`;
    });
    if (!said.length && by) said.push((by.querySelector('b') ?? by).innerText.trim());
    return [document.querySelector('h1').innerText.trim(), ...said].join(', ').slice(0, 120);
  }
  function itemOf(form, by) {
    const fields = [...new FormData(form)].filter(([name]) => name !== 'token');
    if (by?.name) fields.push([by.name, by.value]);
    return { number: form.elements.number.value, who: form.elements.who?.value ?? '', to: pathOf(form, by), what: words(form, by), at: Date.now(), fields };
  }

  // Sends one: the address to go to, or '' where there is something to show
  // first. It throws where turnrow does not answer.
  async function send(item, token) {
    const ask = async (at, more) => {
      const stop = new AbortController(), late = setTimeout(() => stop.abort(), patience);
      try {
        const r = await fetch(at, { ...more, signal: stop.signal });
        if (r.status >= 500) throw new Error(r.status);
        return { status: r.status, text: await r.text() };
      } finally { clearTimeout(late); }
    };
    for (const again of [false, true]) {
      token ??= (await ask('/token')).text; // turnrow was started again: its forms have another
      const body = new URLSearchParams([...item.fields, ['token', token]]);
      const r = await ask(item.to, { method: 'POST', body, headers: { Accept: 'application/json' } });
      if (r.status === 403 && !again) { token = null; continue; }
      try { return JSON.parse(r.text).to; } catch { return ''; }
    }
  }

  document.addEventListener('submit', async (e) => {
    const form = e.target, by = e.submitter;
    if (e.defaultPrevented || !written(form)) return;
    e.preventDefault();
    const item = itemOf(form, by), key = draftKey(form), draft = read(key);
    if (draft) localStorage.setItem(key, JSON.stringify({ ...draft, number: item.number }));
    try {
      // What waits goes first, but for a hold, which waits for nothing.
      if (!item.to.startsWith('/hold') && waiting().length && !await flush()) throw new Error('still waits');
      const to = await send(item, form.elements.token.value);
      if (!to) { native(form, by); return; }
      saved(item.number);
      location.assign(to);
    } catch {
      const was = read(waitKey(item.number));
      hold(was ? { ...item, what: was.what, at: was.at } : item);
      localStorage.removeItem(key);
      form.querySelector('.kept')?.remove();
      for (const n of document.getElementsByName('number')) if (n.value === item.number) n.value = fresh();
      delete form.dataset.sent;
      begin(form);
      show();
      scrollTo({ top: 0, behavior: 'instant' }); // what waits stands there
    }
  });
  const fresh = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, '0')).join('');

  // Goes the way of a form without a script, to a view of its own.
  function native(form, by) {
    if (by?.name) hide(form, by.name, by.value);
    if (by?.hasAttribute('formaction')) form.action = by.formAction;
    HTMLFormElement.prototype.submit.call(form);
  }
  function hide(form, name, value) {
    const e = document.createElement('input');
    Object.assign(e, { type: 'hidden', name, value });
    form.append(e);
  }
  async function look(item) {
    const form = document.createElement('form');
    form.method = 'post';
    form.action = item.to;
    for (const [name, value] of item.fields) hide(form, name, value);
    try { hide(form, 'token', await (await fetch('/token')).text()); } catch { return; }
    document.body.append(form);
    native(form);
  }

  const waiting = () => all('waits').map(read).filter(Boolean).sort((a, b) => a.at - b.at);
  let sending = null;
  // Sends what waits, in the order of writing. It says whether turnrow answered.
  function flush() {
    return sending ??= sendAll().finally(() => { sending = null; });
  }
  async function sendAll() {
    let well = true;
    for (const item of waiting().filter((i) => !i.asks)) {
      try {
        const to = await send(item);
        if (to) { saved(item.number); done(item); }
        else if (read(waitKey(item.number))) hold({ ...item, asks: true });
      } catch { well = false; break; } // tried again later
    }
    show();
    return well;
  }
  function done(item) {
    if (!mine(item)) return;
    const line = piece('t-gone');
    line.textContent = line.textContent.replace('%s', item.what);
    box.after(line);
    setTimeout(() => line.remove(), 60e3);
  }

  const who = () => document.body.dataset.who ?? '';
  const mine = (item) => !item.who || item.who === who();
  let shown = '';
  function show() {
    const items = waiting();
    const now = JSON.stringify(items);
    if (now === shown) return;
    shown = now;
    box.replaceChildren(...items.map((item) => {
      const line = piece('t-waiting'), text = line.querySelector('span'), [go, ask, drop] = line.querySelectorAll('button');
      text.textContent = mine(item) ? (item.asks ? text.dataset.asks : text.dataset.text).replace('%s', item.what) : text.dataset.other;
      go.hidden = item.asks;
      ask.hidden = !item.asks || !mine(item);
      drop.hidden = !mine(item);
      go.onclick = flush;
      ask.onclick = () => look(item);
      drop.onclick = () => sure(drop, () => { localStorage.removeItem(waitKey(item.number)); show(); });
      return line;
    }));
  }

  for (const form of document.forms) if (written(form) && inputs(form).length) restore(form);
  show();
  flush();
  addEventListener('storage', show);
  addEventListener('online', flush);
  new MutationObserver(() => { if (!document.body.dataset.blind) flush(); }).observe(document.body, { attributeFilter: ['data-blind'] });
  setInterval(() => { if (all('waits').length) flush(); }, 3000);
})();
