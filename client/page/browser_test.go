package page_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	webpage "turnrow/client/page"
)

// TestMain ends the browser that the tests share, if one was started. A program
// that a test starts, to kill it, begins here too.
func TestMain(m *testing.M) {
	if home := os.Getenv(programHome); home != "" {
		runProgram(home)
		return
	}
	code := m.Run()
	stopBrowser()
	os.Exit(code)
}

// theBrowser is one headless browser for all tests of a run. Each screen in it
// keeps its own cookies, like a device of its own.
var (
	stopBrowser = func() {}
	theBrowser  = sync.OnceValues(startBrowser)
)

func startBrowser() (context.Context, error) {
	path := chromium()
	if path == "" {
		return nil, nil
	}
	dir, err := os.MkdirTemp("", "turnrow-browser-")
	if err != nil {
		return nil, err
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.UserDataDir(dir), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("no-first-run", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, cancel := chromedp.NewContext(alloc, chromedp.WithErrorf(func(string, ...any) {}))
	stopBrowser = func() {
		cancel()
		stop()
		os.RemoveAll(dir)
	}
	return ctx, chromedp.Do(ctx)
}

// chromium is the browser that the tests drive; empty where there is none.
func chromium() string {
	for _, name := range []string{os.Getenv("TURNROW_CHROMIUM"), "chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	return ""
}

// size is how large a screen is.
type size struct {
	name          string
	width, height int64
	touch         bool
}

var (
	phone  = size{"phone", 360, 740, true}
	tablet = size{"tablet", 820, 1180, true}
	desk   = size{"desk", 1366, 768, false}
)

// screen is somebody's screen, in a browser session of its own.
type screen struct {
	t    *testing.T
	ctx  context.Context
	d    *device
	size size
}

// show opens a device's page on a screen.
func (d *device) show(t *testing.T, s size) *screen {
	t.Helper()
	all, err := theBrowser()
	if err != nil {
		t.Fatalf("starting the browser: %v", err)
	}
	if all == nil {
		t.Skip("needs a browser: no chromium on the PATH (Debian: apt-get install chromium)")
	}
	ctx, cancel := chromedp.NewContext(all, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	sc := &screen{t, ctx, d, s}
	if err := chromedp.Do(ctx); err != nil { // the tab lives as long as this context
		t.Fatal(err)
	}
	var opts []chromedp.EmulateViewportOption
	if s.touch {
		opts = append(opts, chromedp.EmulateTouch, chromedp.EmulateMobile)
	}
	sc.do(chromedp.EmulateViewport(s.width, s.height, opts...))
	return sc
}

func (s *screen) do(a chromedp.Action[chromedp.Void]) {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, a); err != nil {
		s.t.Fatalf("%v\non %s", err, s.where())
	}
}

func run[T any](s *screen, a chromedp.Action[T]) T {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	if err != nil {
		s.t.Fatalf("%v\non %s", err, s.where())
	}
	return v
}

// where says what the screen shows, for a failure.
func (s *screen) where() string {
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText`))
	if err != nil {
		return err.Error()
	}
	return text
}

// visit opens a view, and waits for what comes after it.
func (s *screen) visit(path string) {
	s.t.Helper()
	s.do(chromedp.Navigate(s.d.url + path))
	s.until(`!document.querySelector("[data-later] a[href$=pictures]")`)
}

// tap touches what a selector finds; on a desk it is clicked.
func (s *screen) tap(sel string) {
	s.t.Helper()
	s.touch(fmt.Sprintf("document.querySelector(%s)", strconv.Quote(sel)))
}

// tapText touches the link, button, choice or summary with a text.
func (s *screen) tapText(text string) {
	s.t.Helper()
	s.touch(fmt.Sprintf(`((all) => all.find((e) => e.innerText.trim() === %[1]s) || all.find((e) => e.innerText.trim().startsWith(%[1]s)))(
		[...document.querySelectorAll('a, button, label, summary')].filter((e) => e.checkVisibility()))`, strconv.Quote(text)))
}

// touch touches an element as soon as it is there with nothing lying over it.
// It is found and its place is read in one step, since the page may put a fresh
// one in its stead at any time.
func (s *screen) touch(element string) {
	s.t.Helper()
	s.press(element, func() {})
}

// press does something between the beginning and the end of a touch.
func (s *screen) press(element string, meanwhile func()) {
	s.t.Helper()
	at := poll[[]float64](s, fmt.Sprintf(`((e) => {
		if (!e) return null;
		e.scrollIntoView({block: "center", behavior: "instant"});
		const r = e.getClientRects()[0];
		if (!r) return null;
		const at = [r.x + r.width / 2, r.y + r.height / 2];
		return e.contains(document.elementFromPoint(...at)) ? at : null;
	})(%s)`, element))
	if !s.size.touch {
		s.mouse(input.DispatchMouseEventTypeMousePressed, at)
		meanwhile()
		s.mouse(input.DispatchMouseEventTypeMouseReleased, at)
		return
	}
	s.finger(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: at[0], Y: at[1]})
	meanwhile()
	s.finger(input.DispatchTouchEventTypeTouchEnd)
}

func (s *screen) mouse(kind input.DispatchMouseEventType, at []float64) {
	s.t.Helper()
	s.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: at[0], Y: at[1], Button: input.MouseButtonLeft, ClickCount: 1})
		return err
	}))
}

func (s *screen) finger(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
	s.t.Helper()
	s.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: append([]*input.TouchPoint{}, points...)})
		return err
	}))
}

// write types over what stands in a field.
func (s *screen) write(sel, text string) {
	s.t.Helper()
	s.do(chromedp.Focus(chromedp.CSS(sel)))
	s.do(chromedp.Evaluate[chromedp.Void]("document.activeElement.select()"))
	s.do(chromedp.SendKeys(chromedp.CSS(sel), text))
}

// until waits until an expression is true in whatever view is shown.
func (s *screen) until(js string) {
	s.t.Helper()
	poll[any](s, js)
}

// poll waits until an expression is true, and returns its value.
func poll[T any](s *screen, js string) T {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	for {
		v, err := chromedp.Run(ctx, chromedp.Poll[T](js))
		if err == nil {
			return v
		}
		if ctx.Err() != nil {
			s.t.Fatalf("never true: %s\non %s", js, s.where())
		}
	}
}

// reads waits until what a selector finds holds a text.
func (s *screen) reads(sel, text string) {
	s.t.Helper()
	s.until(fmt.Sprintf(`document.querySelector(%s)?.innerText.includes(%s)`, strconv.Quote(sel), strconv.Quote(text)))
}

// lacks waits until what a selector finds does not hold a text.
func (s *screen) lacks(sel, text string) {
	s.t.Helper()
	s.until(fmt.Sprintf(`!(document.querySelector(%s)?.innerText ?? "").includes(%s)`, strconv.Quote(sel), strconv.Quote(text)))
}

// shotDir is where screenshots go, for somebody to look at.
var shotDir = os.Getenv("TURNROW_SHOTS")

// shoot keeps a picture of the whole view.
func (s *screen) shoot(name string) {
	s.t.Helper()
	beyond := true
	shot := run(s, func(ctx context.Context, t *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, t, page.CaptureScreenshot, page.CaptureScreenshotParams{CaptureBeyondViewport: &beyond})
		return r.Data, err
	})
	if err := os.WriteFile(filepath.Join(shotDir, name+"-"+s.size.name+".png"), shot, 0o644); err != nil {
		s.t.Fatal(err)
	}
}

// TestShots takes a picture of every view at every size.
func TestShots(t *testing.T) {
	if shotDir == "" {
		t.Skip("does not apply: TURNROW_SHOTS names no folder for pictures")
	}
	d := crewed(t)
	for _, size := range []size{phone, lying, tablet, desk} {
		s := d.show(t, size)
		for name, path := range d.views() {
			if only := os.Getenv("TURNROW_SHOT"); only != "" && !strings.Contains(name, only) {
				continue
			}
			s.visit(path)
			s.shoot(name)
		}
	}
}

// TestShotsOfQuestions takes a picture of what is asked before it is written.
func TestShotsOfQuestions(t *testing.T) {
	if shotDir == "" {
		t.Skip("does not apply: TURNROW_SHOTS names no folder for pictures")
	}
	d := crewed(t)
	s := d.show(t, phone)
	s.visit(d.views()["catch"])
	s.write("#f-caught", "1446")
	s.write("#f-caught-1", "1431")
	s.shoot("catch-typed")
	s.tapText("Write the catch")
	s.reads("h1", "Is that right?")
	s.shoot("ask")
	s.tapText("Change what I typed")
	s.reads("h1", "Catch from")
	s.shoot("catch-again")
	fresh := serve(t, found(t, ""), webpage.Options{}).show(t, phone)
	fresh.visit("/meter")
	fresh.write("#f-reading", "212.6")
	fresh.reads("#preview", "Work begins now, at 212.6")
	fresh.shoot("meter-first")
}
