package sync_test

import (
	"os"
	"os/exec"
	"testing"
)

// browser is the environment of a build for a browser.
var browser = []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0"}

// core are the packages that a browser must be able to run: every room of
// sync/ except the one with a disk and the one with sockets.
func core(t *testing.T, env []string) (paths []string) {
	t.Helper()
	for _, p := range list(t, env, "-e", "./sync/...") {
		if len(p.GoFiles) > 0 && !within(p.room(), "sync/logstore", "sync/doorway", "sync/simtest") {
			paths = append(paths, p.ImportPath)
		}
	}
	return paths
}

// TestCoreNeedsNoServerLibraries fails where the core, built for a browser,
// draws in what can not run there or makes its download three times as large.
func TestCoreNeedsNoServerLibraries(t *testing.T) {
	for _, p := range list(t, browser, core(t, browser)...) {
		for _, dep := range p.Deps {
			if within(dep, "google.golang.org/grpc", "golang.org/x/net", "github.com/cockroachdb/pebble", "net/http") {
				t.Errorf("%s depends on %s: a page in a browser loads the whole core, and sockets and disks are not there",
					p.room(), dep)
				break
			}
		}
	}
}

// TestCoreBuildsForABrowser compiles the core for js/wasm.
func TestCoreBuildsForABrowser(t *testing.T) {
	cmd := exec.Command("go", append([]string{"build"}, core(t, browser)...)...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), browser...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("the core does not build for a browser: %v\n%s", err, out)
	}
}
