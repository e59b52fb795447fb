/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/media.h - pictures from camera files, through the ffmpeg program.
 *
 * ffmpeg and ffprobe (5.1 or later) run as child processes with an argument vector, never through a shell, each in a
 * process group of its own. They are looked for when first needed; nothing else in this library needs them. Only local
 * files are opened, whatever a file may ask for.
 *
 * Frames of a file are counted from 0 on the file's own clock: frame k is the picture shown at k / rate after the
 * file's first, also where a file leaves pictures out or its time stamps are rounded. With the file's start time code s
 * (info.start) the source frame of a note or clip is s + k.
 *
 * Nothing here may be used by two threads at once, apart from different readers, each with its own diags and arena.
 */
#ifndef TALLWIDE_MEDIA_H
#define TALLWIDE_MEDIA_H

#include <signal.h>

#include <tallwide/diag.h>
#include <tallwide/rtime.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Zeroed: the programs of these names on PATH, and nobody asks to stop. */
typedef struct tw_media_tools {
    const char *ffmpeg, *ffprobe; /* name on PATH or path; NULL: "ffmpeg", "ffprobe" */
    /* Once not 0 (a signal handler sets it), whatever runs is ended and calls return TW_ERR_IO without a finding.
     * A signal that interrupts a wait is noticed at once, else within a tenth of a second. */
    const volatile sig_atomic_t *stop;
} tw_media_tools;

/* Can both programs be run? If not, a finding says which (TW2101) and the status is TW_ERR_IO. */
tw_status tw_media_ready(tw_arena *arena, const tw_media_tools *tools, tw_diags *diags);

/* ---- what a file holds ----------------------------------------------------------------------------------- */

#define TW_MEDIA_SOUNDS 16 /* sound streams listed; cameras have up to this many */

typedef struct tw_media_sound {
    int32_t stream; /* number in the file */
    int32_t channels, rate;
} tw_media_sound;

typedef struct tw_media_info {
    tw_str path;
    int32_t stream;        /* number of the picture stream in the file */
    int32_t width, height; /* as shown: turned by the rotation the file asks for; pixels as recorded, not unsqueezed */
    double squeeze;        /* a pixel is shown so many times as wide as high; 1 when the file does not say */
    int32_t rotation;      /* 0, 90, 180, 270 degrees, already taken into account */
    tw_rate rate;          /* pictures per second; {0,0} for a still */
    bool variable;         /* its pictures are not evenly spaced */
    bool still;            /* one picture: every frame shows it */
    bool rgb;              /* stored as red, green, blue */
    int64_t frames;        /* how many; 0 when the file does not tell, 1 for a still */
    bool has_start;        /* holds a start time code */
    int64_t start;         /* its frame number at `rate`; 0 without one */
    bool drop;
    tw_str reel; /* tape or reel name written into the file; may be empty */
    tw_media_sound sounds[TW_MEDIA_SOUNDS];
    size_t sound_count;

    /* for seeking */
    int64_t first_pts; /* time stamp of the first picture, in time_base */
    tw_time time_base; /* seconds per unit */
    double lead;       /* seconds from the start of the file's clock to the first picture */
    double margin;     /* seconds to seek ahead of the picture wanted, so that it can be decoded */
} tw_media_info;

/* What the file holds. A file that cannot be opened or holds no picture is TW2102 (TW_ERR_SEMANTIC). The texts are
 * the arena's. */
tw_status tw_media_probe(tw_arena *arena, const tw_media_tools *tools, const char *path, tw_diags *diags,
                         tw_media_info *out);

/* The same from what ffprobe prints (-of json -show_format -show_streams): no program is run. */
tw_status tw_media_read_probe(tw_arena *arena, tw_str json, tw_str path, tw_diags *diags, tw_media_info *out);

/* ---- frames in ------------------------------------------------------------------------------------------- */

typedef enum tw_media_pixels {
    TW_PIXELS_LUMA, /* one plane: brightness, 8 bit; 16..235 or 0..255 as the file has it */
    TW_PIXELS_YUV   /* three planes of the same size: ITU-R BT.709 Y', Cb, Cr, 8 bit, 16..235 */
} tw_media_pixels;

typedef struct tw_media_ask {
    int64_t first; /* frame of the file, >= 0 */
    int64_t count; /* frames wanted, >= 1 */
    int32_t width; /* of the planes; 0: the file's own, and the file's own where that is smaller */
    tw_media_pixels pixels;
} tw_media_ask;

/* Rows follow each other without a gap, planes too. */
typedef struct tw_media_frame {
    int64_t number; /* frame of the file */
    int32_t width, height;
    const uint8_t *planes[3]; /* LUMA: only the first */
} tw_media_frame;

typedef struct tw_media_reader tw_media_reader;

/* Starts decoding at exactly ask->first. Height follows width in proportion, rounded to the nearest pixel, at least 1.
 * Memory: one frame, however long the clip; a decoder that is not read waits. `info`, `tools` and `diags` are kept and
 * must outlive the reader; `arena` only lends its memory handler. Failure: TW2101, TW2103. */
tw_status tw_media_open(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                        const tw_media_ask *ask, tw_diags *diags, tw_media_reader **out);

/* The next frame, valid until the next call; *out NULL after the last one wanted, or when the file ends before it
 * (the caller knows what it got). Failure: TW2103 decoding failed, TW2104 the exact frame could not be reached; the
 * reader then gives no more. */
tw_status tw_media_next(tw_media_reader *reader, const tw_media_frame **out);

/* Ends the decoder and frees everything; NULL inside is fine. */
void tw_media_close(tw_media_reader **reader);

#ifdef __cplusplus
}
#endif
#endif
