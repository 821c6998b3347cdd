package page

import (
	"errors"
	"net/http"
	"sync"

	"turnrow/client"
)

// homePage has each call answered by the page of the farm that the home has open.
type homePage struct {
	home *client.Home
	opts Options

	mu   sync.Mutex // guards what follows
	farm *client.Farm
	page http.Handler // of farm; nil before the first call
}

func (p *homePage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, err := p.home.Farm()
	if err != nil {
		http.Error(w, withoutAFarm(err), http.StatusServiceUnavailable)
		return
	}
	p.pageOf(f).ServeHTTP(w, r)
}

// withoutAFarm says in words what an error of Home.Farm means.
func withoutAFarm(err error) string {
	if errors.Is(err, client.ErrNoFarm) {
		return texts.Text("safe.nofarm")
	}
	return texts.Text("safe.closed")
}

func (p *homePage) pageOf(f *client.Farm) http.Handler {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.farm != f {
		p.farm, p.page = f, newPage(f, p.opts)
	}
	return p.page
}
