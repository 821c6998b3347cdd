// Puts in what is new, fills in what is being typed, and keeps a double tap from
// sending twice. Everything else works without it.
'use strict';
(() => {
  const $$ = (sel, root = document) => [...root.querySelectorAll(sel)];

  // − and + beside a number.
  function steppers(root) {
    for (const b of $$('[data-step]', root)) b.hidden = false;
  }
  document.addEventListener('click', (e) => {
    const b = e.target.closest('[data-step]');
    if (!b) return;
    const input = document.getElementById(b.dataset.for);
    const now = parseFloat(input.value.replace(',', '.')) || 0;
    const next = Math.max(0, now + Number(b.dataset.step));
    input.value = String(Math.round(next * 1000) / 1000);
    input.dispatchEvent(new Event('input', { bubbles: true }));
  });

  // Where something can be typed several times, there is always one field more.
  document.addEventListener('input', (e) => {
    const list = e.target.closest('[data-more]');
    const last = list?.lastElementChild;
    if (!last || last !== e.target || !last.value) return;
    const next = last.cloneNode();
    next.id = last.id.replace(/\d*$/, list.children.length);
    next.removeAttribute('value');
    next.value = '';
    list.append(next);
  });

  // A form that was sent is not sent again.
  document.addEventListener('submit', (e) => {
    if (e.target.method !== 'post') return;
    if (e.target.dataset.sent) { e.preventDefault(); return; }
    e.target.dataset.sent = 'yes';
  });
  addEventListener('pageshow', () => { for (const f of $$('form[data-sent]')) delete f.dataset.sent; });

  // What comes of what is typed so far.
  let typing;
  document.addEventListener('input', (e) => {
    const form = e.target.form;
    if (!form || form.dataset.preview === undefined || e.target.closest('#preview')) return;
    clearTimeout(typing);
    typing = setTimeout(() => preview(form), 120);
  });
  async function preview(form) {
    const data = new URLSearchParams(new FormData(form));
    for (const name of ['token', 'number', 'who']) data.delete(name);
    data.set('preview', '1');
    const at = new URL(form.dataset.preview || location.pathname, location.href);
    if (at.searchParams.has('drill')) data.delete('drill');
    for (const [k, v] of data) at.searchParams.append(k, v);
    const latest = (form.latest = {});
    try {
      const r = await fetch(at);
      if (r.ok && form.latest === latest) document.getElementById('preview').innerHTML = await r.text();
    } catch { /* the page went away; what is typed stays */ }
  }

  // Fetches this view again and puts in what may have changed, without touching
  // what somebody is typing or where they are.
  // It says whether that went well.
  let refreshing = null, again = false;
  function refresh() {
    again = true;
    return refreshing ??= (async () => {
      let well = false;
      while (again) {
        again = false;
        well = await look();
      }
      refreshing = null;
      return well;
    })();
  }
  async function look() {
    try {
      // Where a form was refused, its address may show nothing: what all views share comes from another.
      const fresh = await view(location.href) || await view('/more');
      await lifted();
      if (fresh) replace(fresh);
      return Boolean(fresh);
    } catch { return false; } // tried again with the next event
  }
  async function view(at) {
    const r = await fetch(at);
    const doc = new DOMParser().parseFromString(await r.text(), 'text/html');
    return doc.body.dataset.version ? doc : null;
  }
  // A touch begins and ends on the same element or nothing comes of it, so
  // nothing is replaced while a finger or a button is down.
  let down = false, lifting;
  const up = [];
  addEventListener('pointerdown', () => { down = true; clearTimeout(lifting); }, true);
  addEventListener('pointerup', () => { lifting = setTimeout(lift, 400); }, true); // the click comes after it, or never
  for (const end of ['click', 'pointercancel']) addEventListener(end, lift, true);
  function lift() {
    down = false;
    clearTimeout(lifting);
    for (const go of up.splice(0)) setTimeout(go);
  }
  function lifted() { return down ? new Promise((go) => up.push(go)) : Promise.resolve(); }
  function replace(fresh) {
    for (const old of $$('[data-live]')) {
      const now = fresh.getElementById(old.id);
      if (now && same(old) !== same(now) && !typed(old)) put(old, now.innerHTML);
    }
    document.body.dataset.version = fresh.body.dataset.version;
    later();
  }
  // Every form has a number of its own, which is nothing to look at.
  function same(el) { return el.innerHTML.replace(/name="number" value="[^"]*"/g, ''); }
  function put(old, html) {
    const focus = old.contains(document.activeElement) ? document.activeElement : null;
    const open = $$('details', old).map((d) => d.open);
    old.innerHTML = html;
    $$('details', old).forEach((d, i) => { d.open = open[i] ?? d.open; });
    steppers(old);
    if (focus) refocus(old, focus);
  }
  // What takes longer to work out comes after the view that it belongs to.
  async function later() {
    for (const el of $$('[data-later]')) {
      try {
        const r = await fetch(el.dataset.later);
        const html = r.ok ? await r.text() : null;
        await lifted();
        if (html && el.innerHTML !== html) put(el, html);
      } catch { /* tried again with the next event */ }
    }
  }
  function typed(root) {
    return $$('input:not([type=hidden]), textarea', root).some((i) => i.value !== i.defaultValue || i === document.activeElement);
  }
  function refocus(root, was) {
    const same = (was.id && document.getElementById(was.id)) ||
      $$(was.tagName, root).find((e) => e.getAttribute('href') === was.getAttribute('href') && e.textContent === was.textContent);
    if (same) same.focus({ preventScroll: true });
  }

  window.turnrow = { refresh }; // for fresh.js, which follows the record
  setInterval(refresh, 600000); // what was today becomes yesterday

  steppers(document);
  later();
  const first = document.querySelector('[aria-invalid]') || document.getElementById('wrong');
  if (first) { first.tabIndex = first.tabIndex < 0 ? -1 : first.tabIndex; first.focus(); }
})();
