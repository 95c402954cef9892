// Package architecture has no code: its tests hold the rules of
// docs/architecture.md over the whole module, so that the folders stay what
// that page says they are.
package architecture
