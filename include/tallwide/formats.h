/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/formats.h - the one table of timeline formats. A new format is a module of its own and a row here.
 */
#ifndef TALLWIDE_FORMATS_H
#define TALLWIDE_FORMATS_H

#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Row by row; NULL past the last. The first carries most: it is written where nothing says which one is wanted. */
const tw_format *tw_formats_at(size_t index);

/* All their names: "otio, edl, smil". */
tw_str tw_formats_names(tw_arena *arena);

/* By name ("otio"), by the file name's extension, by the bytes (most certain probe; NULL when none recognises them). */
const tw_format *tw_formats_named(tw_str name);
const tw_format *tw_formats_for_path(tw_str path);
const tw_format *tw_formats_probe(tw_str bytes);

/* Probes and reads; a file no row recognises is a located TW1001 error that names what was expected. */
tw_status tw_formats_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                          tw_timeline **out);

#ifdef __cplusplus
}
#endif
#endif
