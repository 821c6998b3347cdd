package page_test

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

// The browser is held to this page alone, and no other page can be put around
// it.
func TestHeaders(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	resp, err := d.web.Get(d.url + "/")
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	policy := resp.Header.Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "form-action 'self'"} {
		if !strings.Contains(policy, want) {
			t.Errorf("the policy %q lacks %q", policy, want)
		}
	}
	if strings.Contains(policy, "unsafe") {
		t.Errorf("the policy %q allows what is unsafe", policy)
	}
	if c := resp.Header.Get("Set-Cookie"); !strings.Contains(c, "HttpOnly") || !strings.Contains(c, "SameSite=Strict") {
		t.Errorf("the session's cookie is %q", c)
	}
}

// No view names an address outside of the page, nor holds script or style of
// its own, which the policy would stop.
func TestNothingFromOutside(t *testing.T) {
	d := crewed(t)
	for name, path := range d.views() {
		_, body := d.fetch(path)
		for _, bad := range []string{"http://", "https://", "//cdn", "<style", " style=", "<script>", " onclick=", "javascript:"} {
			if strings.Contains(strings.ReplaceAll(body, `xmlns="http://www.w3.org/2000/svg"`, ""), bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
	}
}

// A request that another page makes a browser send writes nothing: not across
// origins, not without the form's token, and not by a name that was made to
// point here.
func TestOtherPagesWriteNothing(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	vals := hidden(d.get("/note"))
	before := d.View().Entries
	for _, tt := range []struct {
		name   string
		change func(*http.Request, url.Values)
	}{
		{"across sites", func(r *http.Request, _ url.Values) { r.Header.Set("Sec-Fetch-Site", "cross-site") }},
		{"another origin", func(r *http.Request, _ url.Values) { r.Header.Set("Origin", "http://127.0.0.1:1") }},
		{"no token", func(_ *http.Request, v url.Values) { v.Del("token") }},
		{"another token", func(_ *http.Request, v url.Values) { v.Set("token", "AAAAAAAAAAAAAAAAAAAAAA") }},
		{"no session", func(r *http.Request, _ url.Values) { r.Header.Set("Without-Jar", "yes") }},
		{"another name", func(r *http.Request, _ url.Values) { r.Host = "farm.example:80" }},
	} {
		v := url.Values{}
		for k := range vals {
			v.Set(k, vals.Get(k))
		}
		v.Set("text", "not ours")
		r, err := http.NewRequestWithContext(within(t), http.MethodPost, d.url+"/note", nil)
		if err != nil {
			t.Fatal(err)
		}
		tt.change(r, v)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Body = io.NopCloser(strings.NewReader(v.Encode()))
		web := d.web
		if r.Header.Get("Without-Jar") != "" {
			web = &http.Client{}
		}
		resp, err := web.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", tt.name, resp.Status)
		}
	}
	if n := d.View().Entries - before; n != 0 {
		t.Errorf("%d entries were written", n)
	}
}

// A form from before a restart is shown again with what was typed, and can be
// written then.
func TestFormFromBeforeARestart(t *testing.T) {
	c := found(t, "")
	old, now := serve(t, c, page.Options{}), serve(t, c, page.Options{})
	vals := hidden(old.get("/note"))
	now.web.Jar = old.web.Jar // the same browser, with its cookies
	code, body := now.send("/note", vals, "text=gate is open")
	if code != http.StatusForbidden || !strings.Contains(body, ">gate is open</textarea>") {
		t.Fatalf("answered %d, without what was typed", code)
	}
	if code, _ := now.send("/note", hidden(body), "text=gate is open"); code != http.StatusOK {
		t.Errorf("then answered %d", code)
	}
}

// A page that others can reach shows nothing without its key.
func TestKey(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{Key: "a key of letters"})
	for _, path := range []string{"/", "/?key=wrong", "/changes", "/page.js"} {
		if code, _ := d.fetch(path); code != http.StatusForbidden {
			t.Errorf("%s without the key: %d", path, code)
		}
	}
	d.get("/?key=" + url.QueryEscape("a key of letters"))
	d.get("/log")
}

// On a shared device nobody writes by default: the form waits until somebody
// was chosen, and carries that name.
func TestSharedDeviceAsks(t *testing.T) {
	c := found(t, "")
	ben := record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})[0]
	d := serve(t, c, page.Options{Shared: true})
	code, body := d.post("/note", "text=bags by the gate")
	if code != http.StatusOK || !strings.Contains(body, "Who is writing?") || len(notesBy(c, ben)) != 0 {
		t.Fatalf("not asked who is writing: %d", code)
	}
	if code, _ = d.send("/note", hidden(body), "who="+ben.String()); code != http.StatusOK {
		t.Fatalf("with a name: %d", code)
	}
	if got := notesBy(c, ben); len(got) != 1 || got[0] != "bags by the gate" {
		t.Fatalf("Ben's notes: %q", got)
	}
	if code, _ = d.post("/note", "text=two left"); code != http.StatusOK || len(notesBy(c, ben)) != 2 {
		t.Errorf("asked again at once: %d", code)
	}
	if !strings.Contains(d.get("/"), "Ben is writing.") {
		t.Error("it does not show who is writing")
	}
}

func notesBy(c *handset, who entry.ID) (texts []string) {
	for _, l := range c.Lines() {
		if n, ok := l.Body.(*entry.Noted); ok && l.Person == who {
			texts = append(texts, n.Text)
		}
	}
	return texts
}

// A form that Ada saw is not written as Ada when Ben sent it meanwhile chose
// himself.
func TestChosenPersonIsTheOneShown(t *testing.T) {
	c := found(t, "")
	ben := record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})[0]
	d := serve(t, c, page.Options{})
	vals := hidden(d.get("/note")) // shown as Ada's
	if code, _ := d.send("/who", hidden(d.get("/who")), "who="+ben.String()); code != http.StatusOK {
		t.Fatalf("choosing Ben: %d", code)
	}
	d.send("/note", vals, "text=by Ada")
	d.post("/note", "text=by Ben")
	if got := notesBy(c, ben); len(got) != 1 || got[0] != "by Ben" {
		t.Errorf("Ben's notes: %q", got)
	}
}

// Going back after a choice never leads away from the page.
func TestBackStaysHere(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	d.web.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	vals := hidden(d.get("/more"))
	for _, back := range []string{"https://farm.example/", "//farm.example/", `/\farm.example`, "farm.example", "javascript:alert(1)"} {
		vals.Set("back", back)
		vals.Set("units", "metric")
		resp, err := d.web.PostForm(d.url+"/units", vals)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if to := resp.Header.Get("Location"); to != "/" {
			t.Errorf("back to %q led to %q", back, to)
		}
	}
}

func TestUnitsAreChosen(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	aDay(t, d.handset, nil)
	if body := d.get("/"); !strings.Contains(body, " lb/ac") || strings.Contains(body, " kg/ha") {
		t.Error("the farm's units are not shown")
	}
	d.send("/units", hidden(d.get("/more")), "units=metric", "back=/")
	if body := d.get("/"); strings.Contains(body, " lb/ac") || !strings.Contains(body, " kg/ha") {
		t.Error("the units that were chosen are not shown")
	}
	b := "/box/" + box(t, d.handset, "grain").ID.String()
	d.post(b+"/fill", "bags=", "mass=20")
	if got := latest(d.handset).(*entry.Filled).Mass; got != 20_000_000 {
		t.Errorf("a bare 20 in metric units is %v", got)
	}
}
