package audit_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func sha256Of(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// block is the code of one language in AUDIT.md.
func block(t *testing.T, language string) string {
	t.Helper()
	page, err := os.ReadFile("AUDIT.md")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)\n```" + language + "\n(.*?)\n```").FindSubmatch(page)
	if m == nil {
		t.Fatalf("AUDIT.md has no block of %q", language)
	}
	return string(m[1])
}

// referee runs a program on a script of AUDIT.md beside an audit file.
func referee(t *testing.T, program, script string, file []byte, args ...string) (string, error) {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		t.Skipf("%s is not installed: what AUDIT.md says is not run", program)
	}
	dir := t.TempDir()
	for name, data := range map[string][]byte{"farm.jsonl": file, "script.mjs": []byte(script)} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(path, append([]string{"script.mjs"}, args...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// TestShellStepsPrintWhatThePageSays runs AUDIT.md's steps with OpenSSL, as
// they stand there, on the worked example.
func TestShellStepsPrintWhatThePageSays(t *testing.T) {
	if _, err := exec.LookPath("openssl"); err != nil {
		t.Skip("openssl is not installed: what AUDIT.md says is not run")
	}
	file, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	out, err := referee(t, "bash", block(t, "sh"), file)
	if want := block(t, "text") + "\n"; err != nil || out != want {
		t.Errorf("the steps print (%v)\n%s\nand the page says\n%s", err, out, want)
	}
	lines := strings.Split(out, "\n")
	if lines[0] != lines[1] || lines[2] != lines[3] || lines[4] != "Signature Verified Successfully" {
		t.Errorf("the figures that should be equal are not:\n%s", out)
	}
}

// TestNodeChecksTheFile has AUDIT.md's program, in another language with its
// own SHA-256, Ed25519 and reader of bytes, check the worked example, and find
// what was changed in it.
func TestNodeChecksTheFile(t *testing.T) {
	script := block(t, "js")
	file, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	out, err := referee(t, "node", script, file, "farm.jsonl")
	if err != nil || !strings.Contains(out, "Quill Hollow: 17 entries of 3 devices: every chain and signature is whole.") {
		t.Errorf("node says %q (%v)", out, err)
	}
	lines := strings.Split(strings.TrimSuffix(string(file), "\n"), "\n")
	for i, l := range lines {
		if strings.Contains(l, `"filled"`) {
			lines[i] = strings.Replace(l, `"bytes":"08`, `"bytes":"09`, 1)
		}
	}
	if out, err := referee(t, "node", script, edited(t, lines), "farm.jsonl"); err == nil || !strings.Contains(out, "WRONG: entry 2 of") {
		t.Errorf("node says %q (%v) of a file with changed bytes", out, err)
	}
}
