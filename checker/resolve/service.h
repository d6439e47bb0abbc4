/*
 * The words for what a stream, a side or a line holds and what a pump or an exchanger does, and what each says of the fluid: lean,
 * rich, sour (service.def). Whoever asks whether something is lean asks here.
 */
#ifndef LEANRICH_SERVICE_H
#define LEANRICH_SERVICE_H

#include <stdbool.h>

enum service_class_index {
#define CLASS(code, meaning) SERVICE_INDEX_##code,
#include "resolve/service.def"
	SERVICE_CLASS_COUNT
};

enum service_class {
#define CLASS(code, meaning) SERVICE_##code = 1 << SERVICE_INDEX_##code,
#include "resolve/service.def"
};

/* Is it of all these classes, SERVICE_LEAN | SERVICE_FLOWING? NULL and words without a row are of none. */
bool service_is(const char *service, unsigned classes);

/* The i-th word that has a row; NULL after the last. */
const char *service_word(unsigned i);

#endif
