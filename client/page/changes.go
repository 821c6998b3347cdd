package page

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"turnrow/sync/farm"
)

// version changes whenever a view may have to show something else.
func (p *Page) version(v *farm.View) string {
	at, err := p.farm.Met()
	return fmt.Sprintf("%d.%d.%d.%t%t", v.Entries, v.Waiting, p.farm.Pending(), err != nil, at.IsZero())
}

// changes is the event stream that open pages follow. One event carries the
// version: a page that shows another fetches itself again. The other is a beat.
func (p *Page) changes(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	told, err := "", error(nil)
	tell := func() {
		if v := p.version(p.farm.View()); v != told && err == nil {
			_, err = fmt.Fprintf(w, "event: version\ndata: %s\n\n", v)
			told = v
		}
		if err == nil {
			_, err = fmt.Fprintf(w, "event: beat\ndata: %s\n\n", p.pulse())
		}
	}
	beats := time.NewTicker(beat)
	defer beats.Stop()
	for err == nil {
		changed := p.farm.Changed()
		tell()
		if err == nil {
			err = out.Flush()
		}
		select {
		case <-r.Context().Done():
			return
		case <-p.farm.Done(): // the browser asks anew
			return
		case <-changed:
		case <-beats.C:
		}
	}
}

// syncNow meets the others now, as far as they can be reached.
func (p *Page) syncNow(w http.ResponseWriter, r *http.Request) {
	if !p.tokenFits(r) {
		http.Error(w, texts.Text("safe.token"), http.StatusForbidden)
		return
	}
	ctx, stop := context.WithTimeout(r.Context(), syncPatience)
	defer stop()
	if _, err := p.farm.Sync(ctx); err != nil {
		p.opts.Logger.Info("meeting the others", "err", err)
	}
	http.Redirect(w, r, local(r.PostFormValue("back")), http.StatusSeeOther)
}

// syncPatience is how long somebody looks at a page that tries to reach the
// others.
const syncPatience = 10 * time.Second
