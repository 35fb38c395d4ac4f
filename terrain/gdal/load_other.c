//go:build gdal && !(linux && amd64)

#include "gdal.h"
#include "shim.h"

/* Elsewhere the library is loaded at the start, and the binding registers the drivers. */
const char *polereach_load(void) { return NULL; }
