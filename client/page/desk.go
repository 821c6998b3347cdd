package page

import (
	"net/http"
	"sync"

	"turnrow/client"
)

// desk has each call answered by the page of the farm that the home has open.
type desk struct {
	home *client.Home
	opts Options

	mu   sync.Mutex // guards what follows
	farm *client.Farm
	page http.Handler // of farm; nil before the first call
}

func (d *desk) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, err := d.home.Farm()
	if err != nil {
		http.Error(w, words.text("safe.nofarm"), http.StatusServiceUnavailable)
		return
	}
	d.pageOf(f).ServeHTTP(w, r)
}

func (d *desk) pageOf(f *client.Farm) http.Handler {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.farm != f {
		d.farm, d.page = f, newPage(f, d.opts)
	}
	return d.page
}
