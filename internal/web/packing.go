package web

import (
	"net/http"

	"github.com/klauspost/compress/gzhttp"
)

// leastPacked is the answer from which packing pays, in bytes: what is shorter goes
// into one packet of the network anyway.
const leastPacked = 1400

// packed lets answers of text go out as gzip to those who take it. Streams of events
// are left alone, as each event must leave at once, and so are files that are packed in
// themselves; the page's own files come packed already.
func packed(next http.Handler) (http.Handler, error) {
	wrap, err := gzhttp.NewWrapper(
		gzhttp.MinSize(leastPacked),
		gzhttp.ContentTypes([]string{"application/json", "application/problem+json", "application/openapi+json", "text/csv", "image/svg+xml", "application/yaml"}),
	)
	if err != nil {
		return nil, err
	}
	return wrap(next), nil
}
