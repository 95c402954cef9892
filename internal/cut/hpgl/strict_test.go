package hpgl_test

import (
	"fmt"
	"strconv"
	"strings"
)

// stroke is what the blade cuts between going down and going up, in plotter units.
type stroke [][2]int

// strict reads HP-GL as the HP 7475A manual defines it, for the commands a
// cutter needs, and refuses all else: IN, SP, PU, PD, each closed by a
// semicolon, coordinates in pairs of whole numbers from 0 to 32767, the pen
// chosen before it moves, up and home at the end.
func strict(text string) ([]stroke, error) {
	var strokes []stroke
	var here [2]int
	started, down, pen, home := false, false, 0, false
	text, ok := strings.CutSuffix(text, ";\n")
	if !ok {
		return nil, fmt.Errorf("the file does not end with a closed command")
	}
	for i, command := range strings.Split(text, ";\n") {
		if len(command) < 2 {
			return nil, fmt.Errorf("command %d: %q is too short", i+1, command)
		}
		name, rest := command[:2], command[2:]
		if (name == "IN") != (i == 0) {
			return nil, fmt.Errorf("command %d: %s, want IN first and only once", i+1, name)
		}
		switch name {
		case "IN":
			if started = rest == ""; !started {
				return nil, fmt.Errorf("IN takes nothing, not %q", rest)
			}
		case "SP":
			n, err := strconv.Atoi(rest)
			if err != nil || n < 0 || n > 1 || down {
				return nil, fmt.Errorf("command %d: pen %q", i+1, rest)
			}
			pen = n
		case "PU", "PD":
			points, err := pairs(rest)
			if err != nil {
				return nil, fmt.Errorf("command %d: %w", i+1, err)
			}
			if pen == 0 {
				return nil, fmt.Errorf("command %d: a move without a pen", i+1)
			}
			if name == "PD" && !down {
				strokes = append(strokes, stroke{here})
			}
			down = name == "PD"
			for _, p := range points {
				here = p
				if down {
					last := len(strokes) - 1
					strokes[last] = append(strokes[last], p)
				}
			}
			home = !down && here == [2]int{}
		default:
			return nil, fmt.Errorf("command %d: unknown %s", i+1, name)
		}
	}
	if !started || !home || pen != 0 {
		return nil, fmt.Errorf("the file ends with pen %d, home %v", pen, home)
	}
	return strokes, nil
}

func pairs(text string) ([][2]int, error) {
	if text == "" {
		return nil, fmt.Errorf("a move to nowhere")
	}
	fields := strings.Split(text, ",")
	if len(fields)%2 != 0 {
		return nil, fmt.Errorf("%d coordinates, which are not pairs", len(fields))
	}
	var out [][2]int
	for i := 0; i < len(fields); i += 2 {
		var p [2]int
		for k := range p {
			v, err := strconv.ParseUint(fields[i+k], 10, 15)
			if err != nil {
				return nil, fmt.Errorf("coordinate %q", fields[i+k])
			}
			p[k] = int(v)
		}
		out = append(out, p)
	}
	return out, nil
}
