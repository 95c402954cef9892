package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"brushfall/internal/job"
)

// benchProcess is a workbench that runs as a process of its own.
type benchProcess struct {
	*testing.T
	cmd *exec.Cmd
	url string
	err *bytes.Buffer
}

// openBench starts the program on a free port and waits for its address.
func openBench(t *testing.T, args ...string) *benchProcess {
	t.Helper()
	cmd := program(t, append([]string{"open", "--no-browser", "--addr", "127.0.0.1:0", "--book", "shop.book"}, args...)...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	b := &benchProcess{t, cmd, "", &stderr}
	t.Cleanup(func() { _ = cmd.Process.Kill(); _, _ = cmd.Process.Wait() })
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if _, at, ok := strings.Cut(lines.Text(), "http://"); ok {
			b.url = "http://" + at
			return b
		}
	}
	t.Fatalf("the workbench does not open: %s", stderr.String())
	return nil
}

// ask makes a request and gives the answer, which must not be a fault.
func (b *benchProcess) ask(method, path, body string, headers ...string) []byte {
	b.Helper()
	req, err := http.NewRequestWithContext(b.Context(), method, b.url+path, strings.NewReader(body))
	if err != nil {
		b.Fatal(err)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		b.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode >= 300 {
		b.Fatalf("%s %s: %s, %v: %.300s", method, path, res.Status, err, text)
	}
	return text
}

func (b *benchProcess) value(text []byte, key string) string {
	b.Helper()
	var v map[string]any
	if err := json.Unmarshal(text, &v); err != nil {
		b.Fatal(err)
	}
	word, _ := v[key].(string)
	return word
}

// end interrupts the program and gives its exit code.
func (b *benchProcess) end() int {
	b.Helper()
	if err := b.cmd.Process.Signal(syscall.SIGINT); err != nil {
		b.Fatal(err)
	}
	_ = b.cmd.Wait()
	return b.cmd.ProcessState.ExitCode()
}

// The whole way in a process of its own: the files of the page are those of the
// command, byte for byte; a killed program has lost nothing; Ctrl-C ends it in order.
func TestWorkbenchFromEndToEnd(t *testing.T) {
	t.Chdir(t.TempDir())
	b := openBench(t)
	id := b.value(b.ask("POST", "/api/designs", `{"sample":"heron"}`), "id")
	var d struct{ Job map[string]any }
	if err := json.Unmarshal(b.ask("GET", "/api/designs/"+id, ""), &d); err != nil {
		t.Fatal(err)
	}
	d.Job["effort"], d.Job["width"] = "live", "6 in"
	text, err := json.Marshal(d.Job)
	if err != nil {
		t.Fatal(err)
	}
	b.ask("PUT", "/api/designs/"+id+"/job", string(text), "If-Match", "1")
	if err := b.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = b.cmd.Wait()

	b = openBench(t)
	if got := b.ask("GET", "/api/designs/"+id, ""); !bytes.Contains(got, []byte(`"revision":2`)) || !bytes.Contains(got, []byte(`"6 in"`)) {
		t.Fatalf("after a kill the design is %s", got)
	}
	for file, path := range map[string]string{"heron.yaml": "/job.yaml", "heron.svg": "/drawings/heron.svg"} {
		put(t, file, string(b.ask("GET", "/api/designs/"+id+path, "")))
	}
	run := b.value(b.ask("POST", "/api/designs/"+id+"/runs", ""), "run")
	if events := b.ask("GET", "/api/runs/"+run+"/events", ""); !bytes.Contains(events, []byte("event: done")) {
		t.Fatalf("the run ends with %s", events)
	}
	brushfall(t, "make", "heron.yaml", "-o", "out").wants(t, exitDone)
	made := inFolder(t, "out")
	if !slices.Equal(made, outputs()) {
		t.Errorf("the command made %v", made)
	}
	for _, file := range made {
		want := get(t, filepath.Join("out", file))
		if got := b.ask("GET", "/api/runs/"+run+"/files/"+file, ""); string(got) != want {
			t.Errorf("%s differs from the command's: %d and %d bytes", file, len(got), len(want))
		}
	}
	if code := b.end(); code != exitDone || !strings.Contains(b.err.String(), "everything is saved") {
		t.Errorf("exit %d, %q", code, b.err.String())
	}
}

// A second program does not open the designs a second time: it opens a window on
// the first one.
func TestSecondWorkbenchJoins(t *testing.T) {
	t.Chdir(t.TempDir())
	b := openBench(t)
	brushfall(t, "open", "--no-browser", "--book", "shop.book").wants(t, exitDone, b.url)
	brushfall(t, "open", "--no-browser", "--book", "shop.book", "--addr", "127.0.0.1:0").wants(t, exitInput, "open already", b.url)
	if code := b.end(); code != exitDone {
		t.Errorf("exit %d", code)
	}
}

func TestWorkbenchAddresses(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, addr := range []string{"here", "127.0.0.1", "127.0.0.1:99999", "192.0.2.1:0"} {
		brushfall(t, "open", "--no-browser", "--book", "shop.book", "--addr", addr).wants(t, exitInput, addr)
	}
}

// The samples are jobs with all that they name.
func TestSamplesAreWhole(t *testing.T) {
	for _, s := range samples() {
		j, err := job.Parse(s.ID, s.Job)
		if err != nil || j.ArtworkName != s.Files[0].Name {
			t.Errorf("%s names %q: %v", s.ID, j.ArtworkName, err)
		}
	}
}
