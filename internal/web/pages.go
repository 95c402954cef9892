package web

import (
	"embed"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"brushfall/internal/fault"
)

//go:embed all:dist
var dist embed.FS

// entry is the small page that lets a window in.
//
//go:embed enter
var entry embed.FS

// embedded gives the page as it was built; a placeholder that says how to build it
// where that was not done.
func embedded() fs.FS {
	built, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // the name is a constant
	}
	if _, err := fs.Stat(built, "index.html"); err != nil {
		plain, _ := fs.Sub(dist, "dist/plain")
		return plain
	}
	return built
}

// pages serves the built page. All paths that name no file give index.html, as
// the page reads its address itself.
type pages struct {
	files map[string]page
}

// page is one file, with its forms that are packed already.
type page struct {
	data, gzip, brotli []byte
	kind, etag         string
	forever            bool
}

// kinds gives the media types of what a build holds; it does not depend on the
// machine's own table.
func kinds() map[string]string {
	return map[string]string{
		".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
		".svg": "image/svg+xml", ".png": "image/png", ".ico": "image/x-icon", ".webmanifest": "application/manifest+json",
		".json": "application/json", ".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8", ".map": "application/json", ".wasm": "application/wasm",
	}
}

// newPages reads a build.
func newPages(built fs.FS) (*pages, error) {
	p := &pages{files: map[string]page{}}
	for _, name := range []string{"enter.html", "enter.css", "enter.js"} {
		data, err := entry.ReadFile("enter/" + name)
		if err != nil {
			return nil, fault.Wrap("pages", err)
		}
		p.files[strings.TrimSuffix(name, ".html")] = page{data: data, kind: kinds()[path.Ext(name)], etag: tagOf(data)}
	}
	packed := map[string][]byte{}
	err := fs.WalkDir(built, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(built, name)
		if err != nil {
			return err
		}
		if ext := path.Ext(name); ext == ".gz" || ext == ".br" {
			packed[name] = data
			return nil
		}
		kind := kinds()[path.Ext(name)]
		if kind == "" {
			kind = "application/octet-stream"
		}
		p.files[name] = page{data: data, kind: kind, etag: tagOf(data), forever: strings.HasPrefix(name, "assets/")}
		return nil
	})
	if err != nil {
		return nil, fault.Wrap("pages", err)
	}
	for name, f := range p.files {
		f.gzip, f.brotli = packed[name+".gz"], packed[name+".br"]
		p.files[name] = f
	}
	if _, ok := p.files["index.html"]; !ok {
		return nil, &fault.Error{Kind: fault.Internal, Code: "pages", Message: "the built page has no index.html"}
	}
	return p, nil
}

// ServeHTTP is of http.Handler.
func (p *pages) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	f, ok := p.files[name]
	switch {
	case ok:
	case strings.HasPrefix(name, "api/"), strings.HasPrefix(name, "assets/"), path.Ext(name) != "":
		refuse(w, newProblem(http.StatusNotFound, "page-missing", r.URL.Path, "there is nothing at this address"))
		return
	default:
		f = p.files["index.html"]
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	if f.forever {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	h.Set("ETag", f.etag)
	if r.Header.Get("If-None-Match") == f.etag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	data := f.data
	if packing, packed := f.accepted(r.Header.Get("Accept-Encoding")); packing != "" {
		h.Set("Content-Encoding", packing)
		data = packed
	}
	_, _ = w.Write(data) // nobody is there any more if it fails
}

// accepted picks the smallest form that a browser takes.
func (f page) accepted(header string) (string, []byte) {
	switch {
	case f.brotli != nil && takes(header, "br"):
		return "br", f.brotli
	case f.gzip != nil && takes(header, "gzip"):
		return "gzip", f.gzip
	}
	return "", nil
}

// takes says whether an Accept-Encoding names a packing and does not refuse it.
func takes(header, packing string) bool {
	for part := range strings.SplitSeq(header, ",") {
		name, quality, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(name) == packing {
			q := strings.ReplaceAll(quality, " ", "")
			return q != "q=0" && !strings.HasPrefix(q, "q=0.000")
		}
	}
	return false
}
