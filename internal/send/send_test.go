package send

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/hpgl"
	"brushfall/internal/fault"
)

// sheet gives the HP-GL of the badge's first sheet, two plates.
func sheet(t testing.TB) []byte {
	t.Helper()
	sheets, err := cut.Plan(cuttest.Badge(), cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := hpgl.Write(&b, sheets[0]); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func stream(t testing.TB, text []byte) Stream {
	t.Helper()
	s, err := Read(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var errGone = errors.New("gone")

// cutter is a link to a cutter that takes a few bytes at a time, waits now and
// then, and does at some byte what the test says.
type cutter struct {
	got    []byte
	takes  func(n int) int // how many of n bytes it takes now
	at     int             // the byte at which something happens; -1 for never
	happen func() error
	ahead  int
	lost   error // what Finish finds
}

func (c *cutter) Ahead() int { return c.ahead }

func (c *cutter) Finish() error { return c.lost }

func (c *cutter) Write(p []byte) (int, error) {
	n := len(p)
	if c.takes != nil {
		n = c.takes(n)
	}
	if c.at >= 0 && len(c.got)+n >= c.at {
		c.at = -1
		if err := c.happen(); err != nil {
			return 0, err
		}
	}
	c.got = append(c.got, p[:n]...)
	return n, nil
}

func TestAWholeStreamArrivesAsItIs(t *testing.T) {
	text := sheet(t)
	waits := 0
	c := &cutter{at: -1, takes: func(n int) int {
		waits++
		return min(n, waits%5) // every fifth time nothing
	}}
	last, under := 0, -1
	out, err := Send(t.Context(), c, stream(t, text), 0, Options{Patience: 1, Progress: func(written, total, plate int) {
		if written < last || total != len(text) || plate < under {
			t.Errorf("progress %d of %d at plate %d after %d at %d", written, total, plate, last, under)
		}
		last, under = written, plate
	}})
	if err != nil || !bytes.Equal(c.got, text) {
		t.Fatalf("%v; %d of %d bytes", err, len(c.got), len(text))
	}
	if want := (Outcome{len(text), len(text), 2, true}); out != want || last != len(text) || under != 1 {
		t.Errorf("outcome %+v, progress %d at plate %d", out, last, under)
	}
}

// Stopped at any byte: what arrived is the front of the file, ended after a
// command, then the blade up and home; going on at the plate that is named cuts
// every stroke that was not cut, and of the plates before it none again.
func TestStoppedAnywhereAndGoneOn(t *testing.T) {
	text := sheet(t)
	s := stream(t, text)
	whole := cuts(t, string(text))
	rapid.Check(t, func(rt *rapid.T) {
		ctx, cancel := context.WithCancel(t.Context())
		block := rapid.IntRange(1, 900).Draw(rt, "block")
		at := rapid.IntRange(1, len(text)).Draw(rt, "at")
		grip := rapid.IntRange(1, 300).Draw(rt, "grip")
		c := &cutter{at: at, happen: func() error { cancel(); return nil }, takes: func(n int) int { return min(n, grip) }}
		out, err := Send(ctx, c, s, 0, Options{Block: block})
		if err == nil { // it was in the last piece
			if !bytes.Equal(c.got, text) {
				rt.Fatal("not the whole file arrived")
			}
			return
		}
		if !errors.Is(err, context.Canceled) || !out.Up {
			rt.Fatalf("%+v, %v", out, err)
		}
		front, ok := strings.CutSuffix(string(c.got), Stop)
		if !ok || !strings.HasPrefix(string(text), strings.TrimSuffix(front, ";")) && !strings.HasPrefix(string(text), front) {
			rt.Fatalf("arrived: …%q", tail(c.got))
		}
		if over := len(front) - at; over > max(block, longest(text))+grip {
			rt.Errorf("%d bytes after the stop", over)
		}
		before := cuts(t, string(c.got))
		rest, _ := s.From(out.Next)
		after := cuts(t, string(rest))
		done := len(whole) - len(after)
		if done < 0 || len(before) < done || !same(before[:done], whole[:done]) || !same(after, whole[done:]) {
			rt.Errorf("%d strokes before, %d after, %d in all", len(before), len(after), len(whole))
		}
	})
}

// A connection that breaks: the plates before the one that is named had left for
// sure, however much the line holds back.
func TestBrokenConnection(t *testing.T) {
	text := sheet(t)
	s := stream(t, text)
	_, ends := s.From(0)
	for _, c := range []struct{ at, ahead, next int }{
		{1, 0, 0},
		{ends[0] - 1, 0, 0},
		{ends[0] + 600, 0, 1},
		{ends[0] + 600, 2000, 0},
		{len(text) - 1, 0, 2},
		{len(text) - 1, len(text) - ends[0], 0},
	} {
		link := &cutter{at: c.at, ahead: c.ahead, happen: func() error { return errGone }, takes: func(n int) int { return min(n, 7) }}
		out, err := Send(t.Context(), link, s, 0, Options{})
		if fault.CodeOf(err) != "send-broken" || !errors.Is(err, errGone) {
			t.Errorf("byte %d: %v", c.at, err)
		}
		if out.Next != c.next || out.Up != (out.Written == 0) || out.Written != len(link.got) || !bytes.HasPrefix(text, link.got) {
			t.Errorf("byte %d, %d held back: %+v, %d bytes arrived; want plate %d", c.at, c.ahead, out, len(link.got), c.next)
		}
	}
}

// The other end goes away with bytes on their way: what it may not have had is
// not called sent.
func TestLostAtTheEnd(t *testing.T) {
	text := sheet(t)
	out, err := Send(t.Context(), &cutter{at: -1, ahead: 1000, lost: errGone}, stream(t, text), 0, Options{})
	if fault.CodeOf(err) != "send-broken" || out.Written != len(text) || out.Next != 1 {
		t.Errorf("%+v, %v", out, err)
	}
}

// A cutter that takes nothing more when it is to stop: the sending gives up, and
// does not claim that the blade is up.
func TestStuckAtTheStop(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	asked := 0
	c := &cutter{at: -1}
	c.takes = func(n int) int {
		if len(c.got) < 1000 {
			return min(n, 10)
		}
		if asked++; asked == 5 {
			cancel()
		}
		return 0
	}
	out, err := Send(ctx, c, stream(t, sheet(t)), 0, Options{Patience: 20})
	if fault.CodeOf(err) != "send-stuck" || out.Up || out.Written != 1000 {
		t.Errorf("%+v, %v", out, err)
	}
	if asked < 20 || asked > 30 {
		t.Errorf("it was asked %d times", asked)
	}
}

func TestStoppedBeforeItBegan(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	c := &cutter{at: -1}
	out, err := Send(ctx, c, stream(t, sheet(t)), 0, Options{})
	if !errors.Is(err, context.Canceled) || len(c.got) > 0 || !out.Up {
		t.Errorf("%+v, %v, %q", out, err, c.got)
	}
}

func tail(b []byte) []byte { return b[max(0, len(b)-60):] }

func same(a, b []string) bool { return fmt.Sprint(a) == fmt.Sprint(b) }

// longest gives the length of the longest command.
func longest(text []byte) int {
	most := 0
	for _, c := range bytes.Split(text, []byte(";")) {
		most = max(most, len(c)+2)
	}
	return most
}

// cuts plays HP-GL as the 7475A manual has it, with absolute coordinates, and
// gives each stroke of the blade as text. The last one may be cut short: it ends
// where the blade was lifted.
func cuts(t testing.TB, text string) []string {
	t.Helper()
	var out []string
	here, down := "0,0", false
	for _, c := range strings.Split(text, ";") {
		c = strings.TrimSpace(c)
		if c == "" {
			continue
		}
		fields := strings.Split(c[2:], ",")
		switch name := c[:2]; name {
		case "PU", "PA":
			down = down && name == "PA"
		case "PD":
			if !down {
				out = append(out, here)
			}
			down = true
		case "IN", "SP", "VS", "FS":
			continue
		default:
			t.Fatalf("unknown command %q", c)
		}
		if c[2:] == "" {
			continue
		}
		if len(fields)%2 != 0 {
			t.Fatalf("%q has half a pair", c)
		}
		for i := 0; i < len(fields); i += 2 {
			here = fields[i] + "," + fields[i+1]
			if down {
				out[len(out)-1] += " " + here
			}
		}
	}
	if down {
		t.Fatalf("the blade stays down")
	}
	return out
}
