//go:build gdal

#include <stdlib.h>
#include <string.h>

#include "cpl_conv.h"
#include "cpl_error.h"
#include "cpl_http.h"
#include "cpl_string.h"
#include "cpl_vsi.h"
#include "gdal.h"
#include "ogr_srs_api.h"
#include "shim.h"

#define TEXT 1024

/* What one pair of begin and end collects: the first failure is mostly the cause, the last
   says what it led to. Pairs nest, the innermost collects. */
struct bracket {
	char first[TEXT], last[TEXT];
	int failures, shut;
	struct bracket *outer;
};
static __thread struct bracket outermost, *innermost;

static void CPL_STDCALL collect(CPLErr class, CPLErrorNum number, const char *text) {
	(void)number;
	struct bracket *b = innermost;
	if (!b || class < CE_Failure) return;
	char *to = b->failures++ ? b->last : b->first;
	strncpy(to, text ? text : "", TEXT - 1);
	to[TEXT - 1] = 0;
}

void polereach_register(int cache_mib) {
	CPLSetErrorHandler(CPLQuietErrorHandler); /* for threads GDAL starts itself */
	setenv("PROJ_DEBUG", "0", 0); /* or PROJ writes to standard error by itself */
	GDALSetCacheMax64((GIntBig)cache_mib << 20);
	OSRSetPROJEnableNetwork(0);
	if (!CPLGetConfigOption("DTED_VERIFY_CHECKSUM", NULL))
		CPLSetConfigOption("DTED_VERIFY_CHECKSUM", "YES");
}

/* Stands in for the network. It must return a result: with NULL, GDAL would
   fetch after all. */
static CPLHTTPResult *refuse(const char *url, CSLConstList options, GDALProgressFunc progress, void *progress_arg,
                             CPLHTTPFetchWriteFunc write, void *write_arg, void *user) {
	(void)options, (void)progress, (void)progress_arg, (void)write, (void)write_arg, (void)user;
	CPLHTTPResult *r = CPLCalloc(1, sizeof *r);
	r->nStatus = 1;
	r->pszErrBuf = CPLStrdup("network access is not allowed");
	CPLError(CE_Failure, CPLE_HttpResponse, "%s: network access is not allowed", url);
	return r;
}

/* Thread-local settings that shut every way to the network GDAL has. The
   allowed file name is one that no name equals, the proxy an address nobody
   can listen on. */
static const char *const shut_options[][2] = {
	{"CPL_VSIL_CURL_ALLOWED_FILENAME", "none"},
	{"GDAL_HTTP_PROXY", "http://0.0.0.0:0"},
	{"GDAL_HTTPS_PROXY", "http://0.0.0.0:0"},
	{"GDAL_HTTP_MAX_RETRY", "0"},
	{"GDAL_VRT_ENABLE_PYTHON", "NO"},
};
#define SHUT_OPTIONS (sizeof shut_options / sizeof shut_options[0])

void polereach_begin(int remote) {
	struct bracket *b = innermost ? CPLMalloc(sizeof *b) : &outermost;
	b->failures = 0;
	b->first[0] = b->last[0] = 0;
	b->outer = innermost;
	b->shut = !remote || (b->outer && b->outer->shut); /* what is shut outside stays so inside */
	innermost = b;
	CPLErrorReset();
	CPLPushErrorHandler(collect);
	if (!b->shut) return;
	for (size_t i = 0; i < SHUT_OPTIONS; i++)
		CPLSetThreadLocalConfigOption(shut_options[i][0], shut_options[i][1]);
	CPLHTTPPushFetchCallback(refuse, NULL);
}

int polereach_failed(void) { return innermost ? innermost->failures : 0; }
const char *polereach_first(void) { return innermost ? innermost->first : ""; }
const char *polereach_last(void) { return innermost ? innermost->last : ""; }

void polereach_end(void) {
	struct bracket *b = innermost;
	if (!b) return;
	innermost = b->outer;
	if (b->shut) {
		CPLHTTPPopFetchCallback();
		if (!innermost || !innermost->shut)
			for (size_t i = 0; i < SHUT_OPTIONS; i++)
				CPLSetThreadLocalConfigOption(shut_options[i][0], NULL);
	}
	CPLPopErrorHandler();
	if (b != &outermost) CPLFree(b);
}

// Whether what a coordinate system is called by is of the same kind as what it says of
// itself: the transformation library takes the one for the other, and crashes on a
// geographic system under the number of a geocentric one.
static int is_what_it_is_called(OGRSpatialReferenceH srs) {
	const char *authority = OSRGetAuthorityName(srs, NULL), *code = OSRGetAuthorityCode(srs, NULL);
	if (!authority || !code || !EQUAL(authority, "EPSG"))
		return 1;
	OGRSpatialReferenceH named = OSRNewSpatialReference(NULL);
	int same = OSRImportFromEPSG(named, atoi(code)) != OGRERR_NONE ||
		(!OSRIsGeographic(named) == !OSRIsGeographic(srs) && !OSRIsProjected(named) == !OSRIsProjected(srs));
	OSRDestroySpatialReference(named);
	return same;
}

static char *copy(const char *s) { return s ? CPLStrdup(s) : NULL; }

void polereach_crs_read(const char *wkt, struct polereach_crs *out) {
	memset(out, 0, sizeof *out);
	OGRSpatialReferenceH srs = OSRNewSpatialReference(NULL);
	if (OSRSetFromUserInput(srs, wkt) != OGRERR_NONE) {
		OSRDestroySpatialReference(srs);
		return;
	}
	const char *vertical = OSRGetAttrValue(srs, "VERT_CS", 0);
	if (vertical) {
		char *unit = NULL;
		out->vertical = copy(vertical);
		out->vertical_m = OSRGetTargetLinearUnits(srs, "VERT_CS", &unit);
		out->vertical_unit = copy(unit);
	}
#if GDAL_VERSION_NUM >= 3060000
	OSRStripVertical(srs);
#endif
	OSRDemoteTo2D(srs, NULL);
	out->name = copy(OSRGetName(srs));
	out->geographic = OSRIsGeographic(srs);
	const char *const options[] = {"FORMAT=WKT2_2019", NULL};
	if ((!OSRIsGeographic(srs) && !OSRIsProjected(srs)) || !is_what_it_is_called(srs) || OSRExportToWktEx(srs, &out->horizontal, options) != OGRERR_NONE) {
		CPLFree(out->horizontal);
		out->horizontal = NULL;
	}
	OSRDestroySpatialReference(srs);
}

void polereach_crs_free(struct polereach_crs *c) {
	CPLFree(c->horizontal), CPLFree(c->name), CPLFree(c->vertical), CPLFree(c->vertical_unit);
}

int polereach_backed(void *band, int col, int row, int cols, int rows) {
	int status = GDALGetDataCoverageStatus((GDALRasterBandH)band, col, row, cols, rows, 0, NULL);
	if (status & GDAL_DATA_COVERAGE_STATUS_UNIMPLEMENTED) return -1;
	int data = status & GDAL_DATA_COVERAGE_STATUS_DATA, empty = status & GDAL_DATA_COVERAGE_STATUS_EMPTY;
	return data && empty ? 2 : data ? 1 : 0;
}
