package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"brushfall/examples"
	"brushfall/internal/bench"
	"brushfall/internal/bench/shelf"
)

// window is a page that talks to a server.
type window struct {
	testing.TB
	server *Server
	url    string
	client *http.Client
}

// openWindow starts a server with an empty bench on a port of its own.
func openWindow(t testing.TB, change ...func(*Options)) *window {
	t.Helper()
	keeper, err := shelf.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	heron, art := examples.Heron()
	opt := Options{
		Version: "test", Bench: keeper, Now: time.Now,
		Samples: []Sample{{ID: "heron", Name: "Heron badge", Job: heron.Data, Files: []bench.Upload{{Name: art.Name, Data: art.Data}}}},
	}
	for _, c := range change {
		c(&opt)
	}
	s, err := New(opt)
	if err != nil {
		t.Fatal(err)
	}
	h := httptest.NewServer(s)
	t.Cleanup(func() { s.Close(); h.Close(); _ = keeper.Close() })
	return &window{t, s, h.URL, h.Client()}
}

// answer is what came back.
type answer struct {
	testing.TB
	status int
	header http.Header
	body   []byte
}

// send makes a request; body may be nil, bytes, or a value to be sent as JSON. Headers
// are pairs.
func (w *window) send(method, path string, body any, headers ...string) answer {
	w.Helper()
	var r io.Reader
	kind := ""
	switch b := body.(type) {
	case nil:
	case []byte:
		r, kind = bytes.NewReader(b), "application/json"
	default:
		text, err := json.Marshal(b)
		if err != nil {
			w.Fatal(err)
		}
		r, kind = bytes.NewReader(text), "application/json"
	}
	req, err := http.NewRequestWithContext(w.Context(), method, w.url+path, r)
	if err != nil {
		w.Fatal(err)
	}
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if req.Header.Set(headers[i], headers[i+1]); headers[i] == "Host" {
			req.Host = headers[i+1]
		}
	}
	res, err := w.client.Do(req)
	if err != nil {
		w.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		w.Fatal(err)
	}
	return answer{w.TB, res.StatusCode, res.Header, text}
}

// is checks the status.
func (a answer) is(status int) answer {
	a.Helper()
	if a.status != status {
		a.Fatalf("status %d, want %d: %.600s", a.status, status, a.body)
	}
	return a
}

// fails checks for a problem of a code.
func (a answer) fails(status int, code string) problem {
	a.Helper()
	p := read[problem](a.is(status))
	if p.Code != code || p.Status != status || p.Detail == "" || a.header.Get("Content-Type") != "application/problem+json" {
		a.Errorf("the problem is %+v of type %s, want code %s", p, a.header.Get("Content-Type"), code)
	}
	return p
}

// read decodes an answer.
func read[T any](a answer) T {
	a.Helper()
	var v T
	if err := json.Unmarshal(a.body, &v); err != nil {
		a.Fatalf("%v: %.300s", err, a.body)
	}
	return v
}

// drop sends a file as a page does on which it was dropped.
func (w *window) drop(path, name string, data []byte) answer {
	w.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("drawing", name)
	if err == nil {
		_, err = part.Write(data)
	}
	if err == nil {
		err = form.Close()
	}
	if err != nil {
		w.Fatal(err)
	}
	return w.send("POST", path, b.Bytes(), "Content-Type", form.FormDataContentType())
}

// heron begins a design of the sample.
func (w *window) heron() designBody {
	w.Helper()
	return read[designBody](w.send("POST", "/api/designs", map[string]string{"sample": "heron"}).is(201))
}

// plain is a small drawing: a disc and a line.
const plain = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<circle id="disc" cx="20" cy="20" r="18" fill="#1f4e79"/><path id="line" d="M42 5V35" stroke="#000" fill="none"/></svg>`

// disc begins a design of the small drawing.
func (w *window) disc() designBody {
	w.Helper()
	return read[designBody](w.drop("/api/designs", "disc.svg", []byte(plain)).is(201))
}

// put saves a job with some keys changed; a nil value takes a key away.
func (w *window) put(d designBody, change map[string]any) answer {
	w.Helper()
	return w.send("PUT", "/api/designs/"+d.ID+"/job", changed(w.TB, d.Job, change), "If-Match", fmt.Sprint(d.Revision))
}

func changed(t testing.TB, object []byte, change map[string]any) map[string]any {
	t.Helper()
	var j map[string]any
	if err := json.Unmarshal(object, &j); err != nil {
		t.Fatal(err)
	}
	for k, v := range change {
		if j[k] = v; v == nil {
			delete(j, k)
		}
	}
	return j
}

// made runs a design to its end and gives the number of its run.
func (w *window) made(id string) string {
	w.Helper()
	run := read[runOut](w.send("POST", "/api/designs/"+id+"/runs", nil).is(202)).Run
	events := string(w.send("GET", "/api/runs/"+run+"/events", nil).is(200).body)
	if !strings.Contains(events, "event: done\n") {
		w.Fatalf("the run ends with %.500s", events)
	}
	return run
}
