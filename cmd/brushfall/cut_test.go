//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"brushfall/internal/send"
)

// cutDesk makes a design of two plates on one sheet, in the folder out, with a
// folder for settings of its own; it gives the sheet's HP-GL.
func cutDesk(t *testing.T) []byte {
	t.Helper()
	desk(t)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(t.TempDir(), "settings"))
	brushfall(t, "make", "badge.yaml", "--effort", "live", "-o", "out").wants(t, exitDone)
	return []byte(get(t, "out/sheet-1.plt"))
}

// plates takes the sheet apart at its empty lines: the settings, the two plates, the end.
func plates(t *testing.T, text []byte) []string {
	t.Helper()
	parts := strings.Split(string(text), "\n\n")
	if len(parts) != 4 {
		t.Fatalf("%d parts, want 4", len(parts))
	}
	return parts
}

// listen takes calls on a port of this computer and hands each to a cutter, whose
// system takes in little that it has not read.
func listen(t *testing.T, cutter func(net.Conn)) string {
	t.Helper()
	small := net.ListenConfig{Control: func(_, _ string, c syscall.RawConn) error {
		return c.Control(func(fd uintptr) { _ = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_RCVBUF, 4096) })
	}}
	l, err := small.Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go cutter(c)
		}
	}()
	return l.Addr().String()
}

// collect is a cutter that reads all and gives it when the line is closed.
func collect(got chan<- []byte) func(net.Conn) {
	return func(c net.Conn) {
		text, _ := io.ReadAll(c)
		c.Close()
		got <- text
	}
}

func TestCutOverTheNetwork(t *testing.T) {
	text := cutDesk(t)
	got := make(chan []byte, 2)
	to := listen(t, collect(got))
	o := brushfall(t, "cut", "out", "--to", to, "--yes")
	o.wants(t, exitDone, "sheet-1.plt: 2 plates sent to "+to, "Blades are sharp", "maker")
	if !bytes.Equal(<-got, text) {
		t.Error("not the file arrived")
	}
	for _, args := range [][]string{{"--from-plate", "2"}, {"--from", "badge/2"}} {
		brushfall(t, append([]string{"cut", "out", "--to", to, "--yes"}, args...)...).wants(t, exitDone, "1 plate sent")
		if p := plates(t, text); string(<-got) != p[0]+"\n\n"+p[2]+"\n\n"+p[3] {
			t.Errorf("%v: not the second plate arrived", args)
		}
	}
	brushfall(t, "cut", "out/sheet-1.plt", "--to", to, "--yes", "--passes", "2", "--json").wants(t, exitDone, `"pass": 2`, `"badge/1"`)
	if a, b := <-got, <-got; !bytes.Equal(a, text) || !bytes.Equal(b, text) {
		t.Error("not the file arrived in both passes")
	}
}

func TestCutRefusals(t *testing.T) {
	cutDesk(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	closed := l.Addr().String()
	l.Close()
	put(t, "empty/notes.txt", "")
	put(t, "long/sheet-1.svg", "<svg/>")
	put(t, "torn.plt", "IN;SP1;PU0,0;PD40,")
	if err := syscall.Mkfifo("pipe", 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args string
		says []string
	}{
		{"cut out --yes", []string{"--to"}},
		{"cut out --yes --to " + closed, []string{closed, "nothing listens", "9100"}},
		{"cut out --yes --to /dev/nowhere", []string{"/dev/nowhere", "no such port"}},
		{"cut out --yes --to badge.svg", []string{"badge.svg", "not a cutter"}},
		{"cut out --yes --to pipe", []string{"pipe", "nobody reads"}},
		{"cut out --to " + closed, []string{"--yes"}},
		{"cut out --passes 2 --to " + closed, []string{"--yes"}},
		{"cut out --yes --to x:9100 --from-plate 3", []string{"no such plate", `"badge/1", "badge/2"`}},
		{"cut out --yes --to x:9100 --from badge/2 --from-plate 2", []string{"keep one"}},
		{"cut out --yes --to x:9100 --flow dtr", []string{"--flow", "rtscts"}},
		{"cut out --yes --to x:9100 --frame 9N1", []string{"--frame", "8N1"}},
		{"cut out --yes --to x:9100 --baud 1", []string{"--baud", "9600"}},
		{"cut out --yes --to x:9100 --passes 99", []string{"--passes"}},
		{"cut out --yes --to x:9100 --from-pass 2", []string{"--from-pass"}},
		{"cut empty --yes --to x:9100", []string{"sheet-1.plt", "brushfall make"}},
		{"cut long --yes --to x:9100", []string{"sheet 1", "too long"}},
		{"cut torn.plt --yes --to x:9100", []string{"torn.plt", "ends within a command"}},
		{"cut out/sheet-1.svg --yes --to x:9100", []string{".plt"}},
		{"cut badge.yaml --yes --to x:9100", []string{"badge.yaml"}},
	} {
		t.Run(c.args, func(t *testing.T) { brushfall(t, strings.Fields(c.args)...).wants(t, exitInput, c.says...) })
	}
}

// The line is dropped in the middle of plate 2: what is called sent had arrived,
// and the command that is named brings the rest.
func TestCutGoesOnAfterADrop(t *testing.T) {
	text := cutDesk(t)
	parts := plates(t, text)
	second := len(parts[0]) + len(parts[1]) + 4
	got := make(chan []byte, 1)
	to := listen(t, func(c net.Conn) {
		head := make([]byte, second+socketAhead+socketBlock)
		n, _ := io.ReadFull(c, head[:min(len(head), len(text)-100)])
		_ = c.(*net.TCPConn).SetLinger(0) // closes with a reset
		c.Close()
		got <- head[:n]
	})
	o := brushfall(t, "cut", "out", "--to", to, "--yes")
	o.wants(t, exitInput, "connection to the cutter broke", "blade may be down", "To go on: brushfall cut out --to "+to+" --from ")
	if front := <-got; !bytes.HasPrefix(text, front) {
		t.Error("what arrived is not the front of the file")
	} else if strings.Contains(o.stderr, "for sure the whole of badge/1\n") && len(front) < second {
		t.Errorf("plate 1 is called sent and %d of %d bytes arrived", len(front), second)
	}
	_, name, _ := strings.Cut(strings.TrimSpace(o.stderr), "--from ")
	all := make(chan []byte, 1)
	brushfall(t, "cut", "out", "--to", listen(t, collect(all)), "--yes", "--from", name).wants(t, exitDone)
	rest := string(<-all)
	if !strings.HasPrefix(rest, parts[0]) || !strings.HasSuffix(string(text), rest[len(parts[0]):]) {
		t.Error("the rest is not the end of the file with its settings")
	}
	if strings.Contains(rest, parts[1]) == strings.Contains(o.stderr, "for sure the whole of badge/1\n") {
		t.Error("plate 1 is cut again though it was sure, or was not and is left out")
	}
}

// Stopped while the cutter lets it wait: what arrived is the front of the file up
// to the end of a command, then the blade goes up and home.
func TestCutStopped(t *testing.T) {
	text := cutDesk(t)
	ctx, cancel := context.WithCancel(t.Context())
	got := make(chan []byte, 1)
	to := listen(t, func(c net.Conn) {
		head := make([]byte, 3000)
		if _, err := io.ReadFull(c, head); err != nil {
			t.Error(err)
		}
		cancel()
		rest, _ := io.ReadAll(c)
		c.Close()
		got <- append(head, rest...)
	})
	o := brushfallIn(t, ctx, "cut", "out", "--to", to, "--yes")
	arrived := <-got
	if len(arrived) == len(text) { // all had left before the stop
		t.Fatalf("the sheet of %d bytes is too short for this test", len(text))
	}
	o.wants(t, exitStopped, "stopped; sheet-1.plt", "sent up and home", "To go on: brushfall cut out")
	front, ok := bytes.CutSuffix(arrived, []byte(send.Stop))
	if !ok || !bytes.HasPrefix(text, front) || !bytes.HasSuffix(front, []byte(";")) {
		t.Errorf("arrived …%q", arrived[max(0, len(arrived)-80):])
	}
}

// A cutter that takes nothing more at all: the program ends, and does not say
// that the blade is up.
func TestCutStuck(t *testing.T) {
	text := cutDesk(t)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	hold := make(chan struct{})
	t.Cleanup(func() { close(hold) })
	l := &line{to: writer(func(p []byte) (int, error) { <-hold; return len(p), nil }), most: socketBlock}
	sheet, err := send.Read(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	cancelled := false
	out, err := send.Send(ctx, l, sheet, 0, send.Options{Patience: 2, Progress: func(int, int, int) {
		if !cancelled {
			cancelled = true
			cancel()
		}
	}})
	if out.Written != 0 || err == nil || errors.Is(err, context.Canceled) {
		t.Errorf("%+v, %v", out, err)
	}
}

type writer func([]byte) (int, error)

func (w writer) Write(p []byte) (int, error) { return w(p) }

func TestCutIntoAPipe(t *testing.T) {
	text := cutDesk(t)
	if err := syscall.Mkfifo("pipe", 0o600); err != nil {
		t.Fatal(err)
	}
	pipe, err := os.OpenFile("pipe", os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := make(chan []byte, 1)
	go func() {
		var all []byte
		for len(all) < len(text) {
			buf := make([]byte, 700)
			n, err := pipe.Read(buf)
			all = append(all, buf[:n]...)
			if err != nil && !errors.Is(err, io.EOF) {
				t.Error(err)
				break
			}
			time.Sleep(time.Millisecond) // a slow cutter
		}
		got <- all
	}()
	brushfall(t, "cut", "out", "--to", "pipe", "--yes").wants(t, exitDone, "2 plates sent to pipe")
	if !bytes.Equal(<-got, text) {
		t.Error("not the file arrived")
	}
}
