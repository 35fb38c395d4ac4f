//go:build gdal && !asan

#include <dlfcn.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "gdal_version.h"
#include "shim.h"

/* Loads GDAL when it is first needed: see load_linux_amd64.S, which holds these. */
extern void *polereach_slots[];
extern const char polereach_names[]; /* each with its 0, an empty one at the end */

static pthread_once_t once = PTHREAD_ONCE_INIT;
static char failure[512];

#define TEXT_OF(x) #x
#define NUMBER_OF(x) TEXT_OF(x)

/* The number in the name of the library is 26 more than the second of the version, from 3.0 on. */
static void *open_library(void) {
	char name[32];
	snprintf(name, sizeof name, "libgdal.so.%d", 26 + GDAL_VERSION_MINOR);
	void *library = dlopen(name, RTLD_LAZY | RTLD_LOCAL);
	if (library) return library;
	snprintf(failure, sizeof failure, "%s", dlerror());
	return dlopen("libgdal.so", RTLD_LAZY | RTLD_LOCAL);
}

static void load(void) {
	void *library = open_library();
	if (!library) return;
	void **slot = polereach_slots;
	for (const char *name = polereach_names; *name; name += strlen(name) + 1, slot++) {
		void *function = dlsym(library, name);
		if (!function) {
			snprintf(failure, sizeof failure, "the GDAL at hand has no %s, which that of the build, %s, has", name,
			         GDAL_RELEASE_NAME);
			return;
		}
		*slot = function;
	}
	failure[0] = 0;
	void (*all)(void) = (void (*)(void))dlsym(library, "GDALAllRegister");
	if (all) all();
}

const char *polereach_load(void) {
	pthread_once(&once, load);
	return failure[0] ? failure : NULL;
}

/* For a call past the package, without a look at what polereach_load says. */
__attribute__((visibility("hidden"))) void polereach_load_or_end(void) {
	const char *why = polereach_load();
	if (!why) return;
	fprintf(stderr, "polereach: GDAL: %s\n", why);
	abort();
}

/* What the binding calls before main begins. The drivers are registered by load. */
__attribute__((visibility("hidden"))) void GDALAllRegister(void) {}
__attribute__((visibility("hidden"))) void OGRRegisterAll(void) {}
