package web

import (
	"bytes"
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"brushfall/internal/fault"
)

// table is a cutter that takes what it is sent, or, if it is slow, a byte at a time.
type table struct {
	mu     sync.Mutex
	got    bytes.Buffer
	slow   bool
	opened []string
	shut   int
}

func (c *table) Ports() []string { return []string{"COM3"} }

func (c *table) Open(_ context.Context, to string, l Line) (Link, error) {
	if to != "COM3" {
		return nil, fault.New("send-port", to, "no such port")
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.opened = append(c.opened, to+" "+l.Frame)
	return c, nil
}

func (c *table) Write(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.slow {
		time.Sleep(2 * time.Millisecond)
		p = p[:1]
	}
	return c.got.Write(p)
}

func (c *table) Ahead() int    { return 0 }
func (c *table) Finish() error { return nil }
func (c *table) Shut(bool) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.shut++
	return nil
}

func (c *table) text() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.got.String()
}

func TestSheetGoesToTheCutter(t *testing.T) {
	cutter := &table{}
	w := openWindow(t, func(o *Options) { o.Cutters = cutter })
	d := w.disc()
	w.put(d, map[string]any{"effort": "live"}).is(200)
	run := w.made(d.ID)
	if ports := read[[]cutterRow](w.send("GET", "/api/cutters", nil).is(200)); len(ports) != 1 || ports[0].Name != "COM3" {
		t.Errorf("the ports are %+v", ports)
	}
	path := "/api/runs/" + run + "/send"
	sending := read[runOut](w.send("POST", path, map[string]any{"sheet": 1, "port": "COM3", "frame": "7E1"}).is(202)).Run
	if events := string(w.send("GET", "/api/runs/"+sending+"/events", nil).is(200).body); !strings.Contains(events, "event: done") {
		t.Fatalf("the sending ends with %s", events)
	}
	want := w.send("GET", "/api/runs/"+run+"/files/sheet-1.plt", nil).is(200).body
	if cutter.text() != string(want) || cutter.shut != 1 || cutter.opened[0] != "COM3 7E1" {
		t.Errorf("the cutter got %d bytes of %d over %v, shut %d times", len(cutter.text()), len(want), cutter.opened, cutter.shut)
	}
	w.send("POST", path, map[string]any{"sheet": 2, "port": "COM3"}).fails(422, "send-files")
	w.send("POST", path, map[string]any{"sheet": 1, "port": "/etc/passwd"}).fails(422, "send-port")
	w.send("POST", path, map[string]any{"sheet": 1, "port": "COM3", "from": 9}).fails(422, "send-from")
	w.send("POST", path, map[string]any{"sheet": 1, "port": "COM3", "flow": "prayer"}).fails(422, "request")
}

// A stop lifts the blade, and says how far it came.
func TestSendingIsStopped(t *testing.T) {
	cutter := &table{slow: true}
	w := openWindow(t, func(o *Options) { o.Cutters = cutter })
	d := w.disc()
	w.put(d, map[string]any{"effort": "live"}).is(200)
	path := "/api/runs/" + w.made(d.ID) + "/send"
	sending := read[runOut](w.send("POST", path, map[string]any{"sheet": 1, "port": "COM3"}).is(202)).Run
	w.send("POST", path, map[string]any{"sheet": 1, "port": "COM3"}).fails(422, "send-busy")
	for cutter.text() == "" {
	}
	w.send("DELETE", "/api/runs/"+sending, nil).is(204)
	events := string(w.send("GET", "/api/runs/"+sending+"/events", nil).is(200).body)
	if !strings.Contains(events, "send-stopped") || !strings.Contains(events, "up and home") || !strings.HasSuffix(cutter.text(), "PU;PA0,0;\n") {
		t.Errorf("the sending ends with %s after %q", events, cutter.text()[max(0, len(cutter.text())-40):])
	}
}

func TestAdvice(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	a := read[advice](w.send("POST", "/api/advise", map[string]any{"design": d.ID, "sizes": []string{"SS10", "SS6"}}).is(200))
	if len(a.Sizes) != 2 || a.Recommendation == "" || a.Thinnest == nil || a.Thinnest.Region != "line" {
		t.Errorf("the advice is %+v", a)
	}
	w.send("POST", "/api/advise", map[string]any{"design": d.ID, "sizes": []string{"SS99"}}).fails(422, "size-unknown")
	w.send("POST", "/api/advise", map[string]any{"design": "none"}).fails(404, "design-missing")
}
