package page

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// policy is what the browser is held to: everything from this page alone, no
// inline script or style, nobody else's frame.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// maxForm is how many bytes of a form are read: the longest note and a pasted
// set file of a large farm fit.
const maxForm = 1 << 20

// guard lets through what comes from this page's own screen.
func (p *Page) guard(next http.Handler) http.Handler {
	same := http.NewCrossOriginProtection()
	same.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Error(w, texts.Text("safe.origin"), http.StatusForbidden)
	}))
	inner := same.Handler(p.keyed(next))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !ownHost(r.Host) {
			http.Error(w, texts.Text("safe.host"), http.StatusForbidden)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, maxForm)
		inner.ServeHTTP(w, r)
	})
}

// ownHost refuses a name that another site made point here: the page goes by
// an IP address, or as localhost.
func ownHost(hostport string) bool {
	host := hostport
	if h, _, err := net.SplitHostPort(hostport); err == nil {
		host = h
	}
	host = strings.Trim(host, "[]")
	_, err := netip.ParseAddr(host)
	return err == nil || strings.EqualFold(host, "localhost")
}

// keyed asks for the key, where there is one: once in the address, then in a
// cookie.
func (p *Page) keyed(next http.Handler) http.Handler {
	if p.opts.Key == "" {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p.isKey(r.URL.Query().Get("key")) {
			p.setCookie(w, "key", p.opts.Key, 0)
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
		if !p.isKey(p.cookie(r, "key")) {
			http.Error(w, texts.Text("safe.key"), http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (p *Page) isKey(s string) bool {
	return subtle.ConstantTimeCompare([]byte(s), []byte(p.opts.Key)) == 1
}

// cookieName keeps the pages of two homes on one machine apart: browsers send
// cookies to every port of a host.
func (p *Page) cookieName(name string) string {
	id := p.farm.Device().String()
	return "turnrow-" + id[len(id)-6:] + "-" + name
}

func (p *Page) cookie(r *http.Request, name string) string {
	c, err := r.Cookie(p.cookieName(name))
	if err != nil {
		return ""
	}
	return c.Value
}

// setCookie sets a cookie for so many seconds; 0 is until the browser closes.
func (p *Page) setCookie(w http.ResponseWriter, name, value string, seconds int) {
	http.SetCookie(w, &http.Cookie{
		Name: p.cookieName(name), Value: value, Path: "/", MaxAge: seconds,
		HttpOnly: true, SameSite: http.SameSiteStrictMode,
	})
}

// session is what this browser is known by; made where there is none yet.
func (p *Page) session(w http.ResponseWriter, r *http.Request) string {
	if s := p.cookie(r, "session"); s != "" {
		return s
	}
	s := random()
	p.setCookie(w, "session", s, 0)
	return s
}

// token is what a form of a session carries, so that it is known to be ours.
func (p *Page) token(session string) string {
	mac := hmac.New(sha256.New, p.secret)
	mac.Write([]byte(session))
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil)[:16])
}

func (p *Page) tokenFits(r *http.Request) bool {
	session := p.cookie(r, "session")
	return session != "" && hmac.Equal([]byte(r.PostFormValue("token")), []byte(p.token(session)))
}

func random() string {
	b := make([]byte, 16)
	rand.Read(b)
	return base64.RawURLEncoding.EncodeToString(b)
}
