// Package examples holds the drawings and job files that ship with the program.
// They are Brushfall's own work, for a rowing club that does not exist.
package examples

import _ "embed"

//go:embed heron/heron.yaml
var heronJob []byte

//go:embed heron/heron.svg
var heronDrawing []byte

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
