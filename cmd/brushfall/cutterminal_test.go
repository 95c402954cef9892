//go:build unix

package main

import (
	"bytes"
	"io"
	"net"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"

	"brushfall/internal/send"
)

// A pseudo-terminal is a serial port without a wire: what is written comes out at
// the other end, byte for byte.
func TestCutOverASerialPort(t *testing.T) {
	text := cutDesk(t)
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer far.Close()
	defer near.Close()
	got := make(chan []byte, 1)
	go func() {
		all := make([]byte, len(text))
		n, _ := io.ReadFull(far, all)
		got <- all[:n]
	}()
	brushfall(t, "cut", "out", "--to", near.Name(), "--yes", "--baud", "19200").wants(t, exitDone, "2 plates sent")
	if !bytes.Equal(<-got, text) {
		t.Error("not the file arrived")
	}
	brushfall(t, "cut", "out", "--to", near.Name(), "--yes", "--flow", "rtscts").wants(t, exitInput, "CTS")
}

// XOFF holds the line, XON lets it go on.
func TestSerialFlowControl(t *testing.T) {
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer far.Close()
	defer near.Close()
	l, err := openLine(t.Context(), near.Name(), portFlags{9600, "8N1", flowXonXoff})
	if err != nil {
		t.Fatal(err)
	}
	defer l.shut(true)
	until := func(open bool) {
		for l.ready() != open {
			time.Sleep(time.Millisecond)
		}
	}
	for range 3 {
		if _, err := far.Write([]byte{xoff}); err != nil {
			t.Fatal(err)
		}
		until(false)
		if n, err := l.Write([]byte("PU;")); n != 0 || err != nil || l.busy != nil {
			t.Fatalf("%d bytes written to a cutter that said wait, %v", n, err)
		}
		if _, err := far.Write([]byte{'x', xon}); err != nil {
			t.Fatal(err)
		}
		until(true)
		sent := 0
		for sent == 0 {
			if sent, err = l.Write([]byte("PU;")); err != nil {
				t.Fatal(err)
			}
		}
		heard := make([]byte, 3)
		if _, err := io.ReadFull(far, heard); err != nil || string(heard) != "PU;" {
			t.Fatalf("%q, %v", heard, err)
		}
	}
}

// The port goes away in the middle: the far end of the pseudo-terminal is closed.
func TestSerialPortGoesAway(t *testing.T) {
	cutDesk(t)
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	name := near.Name()
	go func() {
		_, _ = io.ReadFull(far, make([]byte, 2000))
		near.Close()
		far.Close()
	}()
	brushfall(t, "cut", "out", "--to", name, "--yes").wants(t, exitInput, "connection to the cutter broke", "blade may be down", "To go on: brushfall cut out --to "+name+" --from badge/")
}

// person is a terminal with somebody at it: answers are typed when their question
// has appeared.
func person(t *testing.T, cmd *exec.Cmd, answers ...string) string {
	t.Helper()
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer far.Close()
	cmd.Stdin, cmd.Stderr = near, near
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	near.Close()
	var seen bytes.Buffer
	for buf := make([]byte, 512); ; {
		n, err := far.Read(buf) // ends with an error once the program has ended
		seen.Write(buf[:n])
		if len(answers) > 0 && strings.Contains(seen.String(), answers[0]) {
			if _, err := io.WriteString(far, answers[1]+"\n"); err != nil {
				t.Fatal(err)
			}
			answers = answers[2:]
		}
		if err != nil {
			break
		}
	}
	_ = cmd.Wait()
	if len(answers) > 0 {
		t.Errorf("it was never asked %q", answers[0])
	}
	return seen.String()
}

// On a terminal the caution is shown and confirmed once, a bar shows how far it
// is, and it waits between two passes.
func TestCutOnATerminal(t *testing.T) {
	text := cutDesk(t)
	got := make(chan []byte, 4)
	to := listen(t, collect(got))
	refused := program(t, "cut", "out", "--to", to)
	seen := person(t, refused, "Type yes: ", "no")
	if refused.ProcessState.ExitCode() != exitInput || !strings.Contains(seen, "nothing was sent") || len(got) > 0 {
		t.Errorf("exit %d\n%s", refused.ProcessState.ExitCode(), seen)
	}
	first := program(t, "cut", "out", "--to", to, "--passes", "2")
	seen = person(t, first, "Type yes: ", "yes", "Enter for pass 2", "")
	if first.ProcessState.ExitCode() != exitDone || !strings.Contains(seen, "sheet-1.plt, plate 1 of 2, pass 1 of 2") {
		t.Errorf("exit %d\n%s", first.ProcessState.ExitCode(), seen)
	}
	for range 2 {
		if !bytes.Equal(<-got, text) {
			t.Error("not the file arrived")
		}
	}
	again := program(t, "cut", "out", "--to", to, "--passes", "2")
	seen = person(t, again, "Enter for pass 2", "stop")
	if again.ProcessState.ExitCode() != exitStopped || strings.Contains(seen, "Blades are sharp") {
		t.Errorf("exit %d\n%s", again.ProcessState.ExitCode(), seen)
	}
	if !strings.Contains(seen, "--from badge/1 --passes 2 --from-pass 2") || !bytes.Equal(<-got, text) {
		t.Errorf("after a stop between two passes:\n%s", seen)
	}
}

// Ctrl-C as the person at the terminal has it.
func TestInterruptedCutLiftsTheBlade(t *testing.T) {
	text := cutDesk(t)
	half, resume := make(chan struct{}), make(chan struct{})
	got := make(chan []byte, 1)
	to := listen(t, func(c net.Conn) {
		head := make([]byte, 2500)
		_, _ = io.ReadFull(c, head)
		close(half)
		<-resume
		// Slowly, as a cutter does: the interrupt overtakes what is still to be sent.
		all, piece := head, make([]byte, 128)
		for {
			n, err := c.Read(piece)
			all = append(all, piece[:n]...)
			if err != nil {
				break
			}
			time.Sleep(time.Millisecond)
		}
		c.Close()
		got <- all
	})
	cmd := program(t, "cut", "out", "--to", to, "--yes")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	<-half
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	close(resume)
	_ = cmd.Wait()
	arrived := <-got
	front, ok := bytes.CutSuffix(arrived, []byte(send.Stop))
	if code := cmd.ProcessState.ExitCode(); code != exitStopped || !ok || !bytes.HasPrefix(text, front) {
		t.Errorf("exit %d, arrived …%q\n%s", code, arrived[max(0, len(arrived)-80):], stderr.String())
	}
}
