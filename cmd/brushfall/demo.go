package main

import (
	"github.com/spf13/cobra"

	"brushfall/examples"
	"brushfall/internal/fault"
	"brushfall/internal/job"
)

const demoHelp = `Make the example that comes with the program: the badge of the Saltmarsh
Herons, a rowing club, in two colours and two stone sizes.

Everything goes into the folder brushfall-demo, with the drawing and the job
file beside it. Change them and make your own:

  brushfall make brushfall-demo/heron.yaml -o my-badge`

// demoFolder is where the example goes unless -o says otherwise.
const demoFolder = "brushfall-demo"

func (a *app) demoCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Make the example: a two-colour heron badge, into ./" + demoFolder,
		Long:  demoHelp,
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			text, drawing := examples.Heron()
			j, err := job.Parse(text.Name, text.Data)
			if err != nil {
				return fault.Wrap("example", err)
			}
			j.Artwork = drawing.Data
			return a.produce(cmd.Context(), j, out, []job.File{job.File(text), job.File(drawing)})
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", demoFolder, "`FOLDER` to write into")
	a.jsonFlag(cmd.Flags())
	return cmd
}
