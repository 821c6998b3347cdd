package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"
)

// asset is a file that is served as it is.
type asset struct {
	data []byte
	tag  string // of its content: part of its address, so that it may be kept for ever
	kind string
}

// staticAssets reads the embedded files once.
var staticAssets = sync.OnceValue(func() map[string]asset {
	out := map[string]asset{}
	list, err := fs.ReadDir(assets, "assets")
	if err != nil {
		panic(err) // the files are part of the program
	}
	for _, e := range list {
		b, err := assets.ReadFile("assets/" + e.Name())
		if err != nil {
			panic(err)
		}
		sum := sha256.Sum256(b)
		out[e.Name()] = asset{b, hex.EncodeToString(sum[:4]), mime.TypeByExtension(path.Ext(e.Name()))}
	}
	return out
})

func assetAddress(name string) string { return "/" + name + "?" + staticAssets()[name].tag }

func (p *Page) asset(w http.ResponseWriter, r *http.Request) {
	a := p.static[strings.TrimPrefix(r.URL.Path, "/")]
	w.Header().Set("Content-Type", a.kind)
	if r.URL.RawQuery == a.tag {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.data))
}
