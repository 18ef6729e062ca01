// Package dxfio reads any DXF drawing and writes it back with changes. It owns bytes and
// knows nothing of ducts. It makes three promises: what was not to be changed leaves byte
// for byte as it came; views of entities are read-only; the only way to change a drawing is
// one patch, applied once, to an immutable Document.
package dxfio
