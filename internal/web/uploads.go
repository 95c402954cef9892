package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/bench"
	"brushfall/internal/fault"
	"brushfall/internal/job"
)

// longestLabel bounds the name of a file, in characters.
const longestLabel = 100

// oneFile reads the file of a form. Its name becomes a label: what stands behind the
// last slash, without what cannot be printed.
func oneFile(kind string, body []byte) (bench.Upload, error) {
	files, _, err := readForm(kind, body)
	if err != nil {
		return bench.Upload{}, err
	}
	if len(files) != 1 {
		return bench.Upload{}, newProblem(http.StatusBadRequest, "request", "body", "send one file at a time, in a form")
	}
	return files[0], nil
}

// readForm reads the files and the values of a form. Nothing of it is written to a disk.
func readForm(kind string, body []byte) (files []bench.Upload, values map[string]string, err error) {
	values = map[string]string{}
	_, params, err := mime.ParseMediaType(kind)
	if err != nil || params["boundary"] == "" {
		return nil, nil, newProblem(http.StatusBadRequest, "request", "header.Content-Type", "the form has no boundary")
	}
	form := multipart.NewReader(bytes.NewReader(body), params["boundary"])
	for {
		part, err := form.NextPart()
		if errors.Is(err, io.EOF) {
			return files, values, nil
		}
		var data []byte
		if err == nil {
			data, err = io.ReadAll(part)
		}
		if err != nil {
			return nil, nil, newProblem(http.StatusBadRequest, "request", "body", "the form is not whole; send the file again")
		}
		if part.FileName() == "" {
			values[part.FormName()] = string(data)
			continue
		}
		name, err := label(part.FileName())
		if err != nil {
			return nil, nil, err
		}
		files = append(files, bench.Upload{Name: name, Data: data})
	}
}

// label makes a name that is no path of a file's name.
func label(name string) (string, error) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError || r == '/' {
			return -1
		}
		return r
	}, name))
	ext := path.Ext(name)
	if stem := []rune(strings.TrimSuffix(name, ext)); len(stem) > longestLabel {
		name = string(stem[:longestLabel]) + ext
	}
	if strings.Trim(name, ". ") == "" || len(ext) > 6 {
		return "", fault.New("upload-name", "", "the file has no name that says what it is; give it one such as heron.svg")
	}
	return name, nil
}

type drawingIn struct {
	ID      string `path:"id" maxLength:"64"`
	Match   string `header:"If-Match" doc:"the revision it is added to; the present one if left out"`
	Type    string `header:"Content-Type"`
	RawBody []byte `contentType:"multipart/form-data"`
}

// putDrawing keeps one more file of a design, once it was read.
func (s *Server) putDrawing(_ context.Context, in *drawingIn) (*bodyOf[designBody], error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	after := d.Now
	if in.Match != "" {
		if after, err = revisionIn(in.Match); err != nil {
			return nil, err
		}
	}
	u, err := oneFile(in.Type, in.RawBody)
	if err != nil {
		return nil, err
	}
	_, _, font := lettering.FontFile(u.Name)
	switch {
	case isDrawing(u.Name):
		_, err = job.ReadArtwork(u.Name, u.Data)
	case font:
		_, err = lettering.ReadFace(u.Name, u.Data)
	default:
		err = fault.New("artwork-kind", u.Name, "this kind of file cannot be read; give a drawing (SVG, DXF) or a font (TTF, OTF, WOFF)")
	}
	if err != nil {
		return nil, err
	}
	return answered(s.opt.Bench.Change(in.ID, after, bench.Change{Add: []bench.Upload{u}}, s.opt.Now()))
}
