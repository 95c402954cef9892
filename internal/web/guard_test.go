package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"
)

// Each of these is a way in that must be shut.
func TestWhatIsKeptOut(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	path := "/api/designs/" + d.ID
	own := strings.TrimPrefix(w.url, "http://")
	for _, c := range []struct {
		name, method, path string
		headers            []string
		status             int
	}{
		{"a name that was made to lead here (DNS rebinding)", "GET", "/api/designs", []string{"Host", "evil.example"}, 421},
		{"the same with our port", "GET", "/", []string{"Host", "evil.example:7275"}, 421},
		{"a name that begins like ours", "GET", "/api/designs", []string{"Host", "localhost.evil.example"}, 421},
		{"an address of another machine", "GET", "/api/designs", []string{"Host", "192.0.2.7"}, 421},
		{"a number that is no address to us", "GET", "/api/designs", []string{"Host", "2130706433"}, 421},
		{"a page of another site posts", "POST", path + "/undo", []string{"Origin", "https://evil.example"}, 403},
		{"a page of another port posts", "POST", path + "/undo", []string{"Sec-Fetch-Site", "same-site"}, 403},
		{"a form of another site posts", "POST", "/api/designs", []string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"a page of no origin deletes", "DELETE", path, []string{"Origin", "null"}, 403},
		{"a path out of the page", "GET", "/assets/../../../etc/passwd.txt", nil, 404},
		{"the same, hidden", "GET", "/assets/..%2f..%2f..%2fetc%2fpasswd", nil, 404},
		{"a path out of the designs", "GET", "/api/designs/..%2F..%2Fetc/drawings/passwd", nil, 404},
		{"a drawing by a path", "GET", path + "/drawings/..%2F..%2Fjournal", nil, 404},
		{"an id that is none", "GET", "/api/designs/%00", nil, 404},
		{"a method that is none", "PATCH", path, nil, 405},
	} {
		if a := w.send(c.method, c.path, nil, c.headers...); a.status != c.status {
			t.Errorf("%s: status %d, want %d: %.200s", c.name, a.status, c.status, a.body)
		}
	}
	for _, host := range []string{own, "localhost", "LOCALHOST:1", "127.0.0.1", "[::1]:80", "127.8.9.1"} {
		w.send("GET", "/api/about", nil, "Host", host).is(200)
	}
	w.send("POST", path+"/undo", nil, "Sec-Fetch-Site", "same-origin", "Origin", w.url).is(200)
	if now := read[designBody](w.send("GET", path, nil).is(200)); now.Revision != 1 {
		t.Errorf("something got through: %+v", now)
	}
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	w := openWindow(t)
	for _, path := range []string{"/", "/api/about", "/api/designs/none", "/no/such/file.js", "/enter", "/deep/link"} {
		h := w.send("GET", path, nil).header
		csp := h.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'self'") || strings.Contains(csp, "unsafe") || strings.Contains(csp, "http") ||
			h.Get("X-Content-Type-Options") != "nosniff" || h.Get("X-Frame-Options") != "DENY" || h.Get("Referrer-Policy") != "no-referrer" ||
			h.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s has %v", path, h)
		}
	}
}

// Nothing in the pages that are served may want what the policy forbids.
func TestPagesAreWithinThePolicy(t *testing.T) {
	w := openWindow(t)
	for _, path := range []string{"/", "/enter"} {
		page := string(w.send("GET", path, nil).is(200).body)
		for _, forbidden := range []string{"<script>", "<style", " style=", "onclick=", "onload=", "src=\"http", "href=\"//"} {
			if strings.Contains(page, forbidden) {
				t.Errorf("%s has %q", path, forbidden)
			}
		}
	}
}

func TestTokenInTheNetwork(t *testing.T) {
	const token = "a-long-token"
	w := openWindow(t, func(o *Options) { o.Token = token })
	w.send("GET", "/", nil).is(200)
	w.send("GET", "/enter", nil).is(200)
	for _, path := range []string{"/api/about", "/api/designs", "/api/openapi.json", "/api/none"} {
		w.send("GET", path, nil).fails(401, "token-missing")
	}
	w.send("POST", "/api/designs", map[string]string{"sample": "heron"}).fails(401, "token-missing")
	w.send("GET", "/api/about", nil, "Cookie", cookieName+"=another").fails(401, "token-missing")
	w.send("GET", "/api/about", nil, "Cookie", cookieName+"=").fails(401, "token-missing")
	w.send("POST", "/api/enter", map[string]string{"token": "another"}).fails(401, "token-missing")
	w.send("POST", "/api/enter", map[string]string{"token": token}, "Origin", "https://evil.example").fails(403, "cross-origin")
	in := w.send("POST", "/api/enter", map[string]string{"token": token}).is(204)
	cookie := in.header.Get("Set-Cookie")
	for _, part := range []string{"HttpOnly", "SameSite=Strict", "Path=/"} {
		if !strings.Contains(cookie, part) {
			t.Errorf("the cookie is %q, without %s", cookie, part)
		}
	}
	pair, _, _ := strings.Cut(cookie, ";")
	w.send("GET", "/api/about", nil, "Cookie", pair).is(200)
	w.send("GET", "/api/about", nil, "Authorization", "Bearer "+token).is(200)
	openWindow(t).send("POST", "/api/enter", map[string]string{"token": ""}).fails(401, "token-missing") // where there is none
}

// Drawings that were made to do harm are refused by what reads them, and the server
// goes on.
func TestUploadsThatAreRefused(t *testing.T) {
	w := openWindow(t)
	const head = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">`
	bomb := `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">`
	for i := range 9 {
		bomb += "<!ENTITY " + string(rune('b'+i)) + ` "` + strings.Repeat("&"+string(rune('a'+i))+";", 10) + `">`
	}
	bomb += `]>` + head + `<text>&j;</text></svg>`
	for _, c := range []struct {
		name string
		data string
	}{
		{"entities.svg", bomb},
		{"outside.svg", `<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>` + head + `<text>&x;</text></svg>`},
		{"deep.svg", head + strings.Repeat("<g>", 200_000) + strings.Repeat("</g>", 200_000) + "</svg>"},
		{"half.svg", head + "<path d='M0"},
		{"empty.svg", ""},
		{"nothing.svg", head + "</svg>"},
		{"words.dxf", "this is no drawing"},
		{"program.exe", "MZ"},
		{"page.html", "<script>alert(1)</script>"},
		{"..", plain},
		{"", plain},
	} {
		if a := w.drop("/api/designs", c.name, []byte(c.data)); a.status != 422 && a.status != 400 {
			t.Errorf("%s: status %d: %.200s", c.name, a.status, a.body)
		}
	}
	d := read[designBody](w.drop("/api/designs", `..\..\C:\art/../evil"<b>.svg`, []byte(plain)).is(201))
	if got := d.Drawings[0].Name; got != `evil"<b>.svg` {
		t.Errorf("the label is %q", got)
	}
	if h := w.send("GET", "/api/designs/"+d.ID+"/drawings/evil%22%3Cb%3E.svg", nil).is(200).header; !strings.HasPrefix(h.Get("Content-Disposition"), `attachment; filename="evil_<b>.svg"`) {
		t.Errorf("it comes as %q", h.Get("Content-Disposition"))
	}
	w.drop("/api/designs/"+d.ID+"/drawings", "font.ttf", []byte("no font")).is(422)
	w.send("POST", "/api/designs", []byte("--x"), "Content-Type", "multipart/form-data; boundary=x").fails(400, "request")
	w.send("POST", "/api/designs", []byte("--x"), "Content-Type", "multipart/form-data").fails(400, "request")
	w.send("POST", "/api/designs", []byte("{")).fails(400, "request")
	w.send("POST", "/api/designs", map[string]string{"sample": "../heron"}).fails(404, "sample-missing")
}

func TestUploadsThatAreTooLarge(t *testing.T) {
	w := openWindow(t)
	large := bytes.Repeat([]byte(" "), mostUpload+1)
	w.drop("/api/designs", "large.svg", large).is(413)
	d := w.disc()
	w.send("PUT", "/api/designs/"+d.ID+"/job", []byte(`{"design":"`+strings.Repeat("x", 70<<10)+`"}`), "If-Match", "1").fails(422, "job-size")
	w.send("POST", "/api/designs/"+d.ID+"/layout", bytes.Repeat([]byte("["), 1<<20)).is(400)
}

// The files of a build: those under assets may be kept for ever, and packed ones are
// sent to browsers that take them.
func TestBuiltPage(t *testing.T) {
	w := openWindow(t, func(o *Options) {
		o.Pages = fstest.MapFS{
			"index.html":       {Data: []byte("<!doctype html>page")},
			"assets/a1.js":     {Data: []byte("plain")},
			"assets/a1.js.br":  {Data: []byte("brotli")},
			"assets/a1.js.gz":  {Data: []byte("gzip")},
			"assets/b2.css":    {Data: []byte("css")},
			"assets/b2.css.gz": {Data: []byte("css gzip")},
		}
	})
	w.client.Transport = &http.Transport{DisableCompression: true}
	for _, c := range []struct{ path, accept, packing, body, kind string }{
		{"/assets/a1.js", "gzip, deflate, br", "br", "brotli", "text/javascript; charset=utf-8"},
		{"/assets/a1.js", "gzip;q=1.0, br;q=0", "gzip", "gzip", "text/javascript; charset=utf-8"},
		{"/assets/a1.js", "identity", "", "plain", "text/javascript; charset=utf-8"},
		{"/assets/b2.css", "br, gzip", "gzip", "css gzip", "text/css; charset=utf-8"},
		{"/", "br", "", "<!doctype html>page", "text/html; charset=utf-8"},
		{"/design/17", "br", "", "<!doctype html>page", "text/html; charset=utf-8"},
	} {
		a := w.send("GET", c.path, nil, "Accept-Encoding", c.accept).is(200)
		h := a.header
		if h.Get("Content-Encoding") != c.packing || string(a.body) != c.body || h.Get("Content-Type") != c.kind || h.Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s with %s gives %q as %q, %v", c.path, c.accept, a.body, h.Get("Content-Encoding"), h)
		}
		if forever := strings.Contains(h.Get("Cache-Control"), "immutable"); forever != strings.HasPrefix(c.path, "/assets/") {
			t.Errorf("%s may be kept: %s", c.path, h.Get("Cache-Control"))
		}
		w.send("GET", c.path, nil, "If-None-Match", h.Get("ETag")).is(304)
	}
	w.send("GET", "/assets/none.js", nil).fails(404, "page-missing")
	w.send("GET", "/assets/a1.js.br", nil).fails(404, "page-missing")
	if _, err := newPages(fstest.MapFS{"a.js": {}}); err == nil {
		t.Error("a build without index.html is taken")
	}
}
