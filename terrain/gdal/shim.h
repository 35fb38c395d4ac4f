//go:build gdal

#ifndef POLEREACH_SHIM_H
#define POLEREACH_SHIM_H

/* What the Go binding lacks. No GDAL type appears here. */

/* Loads the library and registers its drivers, once; NULL, or why it cannot be done. */
const char *polereach_load(void);

/* Once per process, after load: drivers, quiet handler, cache size, PROJ network off. */
void polereach_register(int cache_mib);

/* Brackets around GDAL calls on one thread. begin clears the error state, starts
   to collect error texts and, unless remote is true, shuts the network for
   this thread; failed tells how many errors came since the innermost begin; end undoes it.
   Brackets nest: the inner ones keep their errors to themselves, and stay shut where an
   outer one is. */
void polereach_begin(int remote);
int polereach_failed(void);
const char *polereach_first(void);
const char *polereach_last(void);
void polereach_end(void);

/* A coordinate system taken apart. */
struct polereach_crs {
	char *horizontal;     /* WKT 2, two-dimensional; NULL if not understood */
	char *name;           /* of the horizontal part */
	char *vertical;       /* name of the vertical part, NULL if none */
	char *vertical_unit;  /* its unit, NULL if none */
	double vertical_m;    /* the unit in metres, 0 if none */
	int geographic;
};
void polereach_crs_read(const char *wkt, struct polereach_crs *out);
void polereach_crs_free(struct polereach_crs *crs);

/* Whether a window of a band is backed by data of the file: 1 all of it, 0 none of it,
   2 in part, -1 where the driver cannot tell. band is the binding's handle. */
int polereach_backed(void *band, int col, int row, int cols, int rows);

#endif
