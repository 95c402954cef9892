package main

import (
	"bytes"
	"context"
	"strings"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/layout"
	"brushfall/internal/trial"
)

// facesOptions are the flags of faces.
type facesOptions struct {
	out, face, text, size string
	capital, scale        float64
	live                  bool
}

func facesCommand() *cobra.Command {
	var o facesOptions
	cmd := &cobra.Command{
		Use: "faces", Short: "Draw the characters of every shipped face in stones on one sheet", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return faces(cmd.Context(), o) },
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "out", "o", "faces.png", "file to write: .svg, or .png by rsvg-convert")
	f.StringVar(&o.face, "face", "", "only the faces whose name holds this text")
	f.StringVar(&o.text, "text", strings.ReplaceAll(trial.SampleText, "\n", "|"), "what is set, its lines parted by |")
	f.StringVar(&o.size, "stone", "SS6", "the stones")
	f.Float64Var(&o.capital, "height", 30, "height of a capital, mm")
	f.Float64Var(&o.scale, "scale", 3, "pixels per mm")
	f.BoolVar(&o.live, "live", false, "effort live")
	return cmd
}

func faces(ctx context.Context, o facesOptions) error {
	size, err := catalogue.FindSize(o.size)
	if err != nil {
		return err
	}
	named, err := facesNamed(o.face)
	if err != nil {
		return err
	}
	sheet := trial.FaceSheet{Text: strings.ReplaceAll(o.text, "|", "\n"), Capital: o.capital, Size: size, Scale: o.scale}
	if o.live {
		sheet.Effort = layout.Live
	}
	var all []trial.FaceSample
	for _, f := range named {
		s, err := sheet.Lay(ctx, f)
		if err != nil {
			return err
		}
		all = append(all, s)
	}
	var svg bytes.Buffer
	if err := sheet.Write(&svg, all); err != nil {
		return err
	}
	return save(ctx, o.out, svg.Bytes())
}
