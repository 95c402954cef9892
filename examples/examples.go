// Package examples holds the drawings and job files that ship with the program.
// They are Brushfall's own work, for a rowing club that does not exist.
package examples

import _ "embed"

//go:embed heron/heron.yaml
var heronJob []byte

//go:embed heron/heron.svg
var heronDrawing []byte

//go:embed heart/heart.yaml
var heartJob []byte

//go:embed heart/heart.svg
var heartDrawing []byte

// File is one file of an example.
type File struct {
	Name string
	Data []byte
}

// Heron gives the badge of the Saltmarsh Herons: its job file and the drawing
// that the job names. Each call gives fresh copies.
func Heron() (job, drawing File) {
	return File{"heron.yaml", append([]byte(nil), heronJob...)}, File{"heron.svg", append([]byte(nil), heronDrawing...)}
}

// Heart gives the regatta heart of the Saltmarsh Herons, which shows accents,
// stones in the gaps, and patterns of colours: its job file and its drawing. Each
// call gives fresh copies.
func Heart() (job, drawing File) {
	return File{"heart.yaml", append([]byte(nil), heartJob...)}, File{"heart.svg", append([]byte(nil), heartDrawing...)}
}
