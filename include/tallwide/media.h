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
 * Threads may call at once, each with its own diags and arena; tools that tw_media_ready has looked at may be shared. A
 * reader or a writer is one thread's at a time.
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
    /* What tw_media_ready found out; films ask again as long as it has not. */
    enum { TW_CODERS_UNKNOWN, TW_CODERS_PLAIN, TW_CODERS_H264 } coders;
} tw_media_tools;

/* Can both programs be run, and does ffmpeg write H.264? If one cannot, a finding says which (TW2101) and the status is
 * TW_ERR_IO. */
tw_status tw_media_ready(tw_arena *arena, tw_media_tools *tools, tw_diags *diags);

/* ---- what a file holds ----------------------------------------------------------------------------------- */

#define TW_MEDIA_SOUNDS 16 /* sound streams listed; cameras have up to this many */

typedef struct tw_media_sound {
    int32_t stream; /* number in the file */
    int32_t channels, rate;
} tw_media_sound;

typedef struct tw_media_info {
    tw_str path;
    int32_t stream;        /* number of the picture stream in the file; -1: sound alone, and all below is 0 or false */
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
    bool has_clock; /* sound alone: a recorder wrote the time of day of its first sample */
    tw_time clock;  /* seconds after midnight */
    double seconds; /* length of the file; 0 when it does not tell */

    /* for seeking */
    int64_t first_pts; /* time stamp of the first picture, in time_base */
    tw_time time_base; /* seconds per unit */
    double lead;       /* seconds from the start of the file's clock to the first picture */
    double margin;     /* seconds to seek ahead of the picture wanted, so that it can be decoded */
} tw_media_info;

/* What the file holds. A file that cannot be opened or holds neither picture nor sound is TW2102 (TW_ERR_SEMANTIC). The
 * texts are the arena's. */
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
 * must outlive the reader; `arena` only lends its memory handler. Failure: TW2101, TW2103; TW2102 for sound alone. */
tw_status tw_media_open(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                        const tw_media_ask *ask, tw_diags *diags, tw_media_reader **out);

/* The next frame, valid until the next call; *out NULL after the last one wanted, or when the file ends before it
 * (the caller knows what it got). Failure: TW2103 decoding failed, TW2104 the exact frame could not be reached; the
 * reader then gives no more. */
tw_status tw_media_next(tw_media_reader *reader, const tw_media_frame **out);

/* Ends the decoder and frees everything; NULL inside is fine. */
void tw_media_close(tw_media_reader **reader);

/* One frame as a JPEG picture no wider than `width` (0: as wide as it is), in the arena; pixels stay as recorded. *jpeg
 * is empty when the file ends before. Failure: TW2101, TW2103, TW2104. */
tw_status tw_media_still(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info, int64_t frame,
                         int32_t width, tw_diags *diags, tw_str *jpeg);

/* ---- sound in -------------------------------------------------------------------------------------------- */

#define TW_SOUND_RATE 48000 /* samples per second of all sound here; 16 bit, in the order of the machine */

/* A stretch of one sound stream, or of one channel of it, given to `take` piece by piece: pairs of samples, left and
 * right. A stream of one channel is given to both sides; more than two are mixed down by ffmpeg. */
typedef struct tw_sound_ask {
    int32_t stream;  /* of the file */
    int32_t channel; /* of the stream, given to both sides; -1: all of them */
    double start;    /* seconds after the file's start at which it begins; backwards, it goes towards the start */
    int64_t samples; /* pairs wanted */
    double speed;    /* so many times as fast, at the same pitch: 1; below 0 backwards, which ffmpeg holds in memory */
} tw_sound_ask;
#define TW_SOUND_SPEED_LEAST 0.01 /* bounds of its size */
#define TW_SOUND_SPEED_MOST 100
typedef bool (*tw_sound_fn)(void *context, const int16_t *pairs, size_t count); /* false: no more, please */
tw_status tw_media_sound_read(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                              const tw_sound_ask *ask, tw_diags *diags, tw_sound_fn take, void *context);

/* ---- films out ------------------------------------------------------------------------------------------- */

typedef struct tw_media_film {
    const char *path;   /* .mkv: without loss (FFV1); else H.264 where ffmpeg has it, MPEG-4 where not; .mp4 and .mov */
    const char *hidden; /* where it is written, with the same ending; NULL: there */
    int32_t width, height; /* even numbers */
    tw_rate rate;
    int64_t start; /* time code of the first frame */
    bool drop;
    const char *sound; /* a file of raw sound as above, two channels; NULL: none */
    bool draft;        /* fast and small rather than good */
} tw_media_film;

typedef struct tw_media_writer tw_media_writer;

/* Begins a film. Failure: TW2101, TW2112. */
tw_status tw_media_create(tw_arena *arena, const tw_media_tools *tools, const tw_media_film *film, tw_diags *diags,
                          tw_media_writer **out);

/* The next frame: three planes, one behind the other, as TW_PIXELS_YUV has them. Failure: TW2112. */
tw_status tw_media_put(tw_media_writer *writer, const uint8_t *planes);

/* Ends the film: it is whole. Failure: TW2112. */
tw_status tw_media_finish(tw_media_writer *writer);

/* Frees everything; a film that is not whole is removed. NULL inside is fine. */
void tw_media_drop(tw_media_writer **writer);

/* ---- finding files --------------------------------------------------------------------------------------- */

#define TW_MEDIA_FILES 100000 /* most files looked at below one folder */
#define TW_MEDIA_DEPTH 16     /* folders within folders */

/* The files below a folder, or the one file, whose ending is one that cameras, recorders and editing rooms write, in
 * byte order of their paths. Hidden files and folders and linked folders are left out. Failure: TW2105 (the folder
 * cannot be read); TW2106 warns where the bounds were reached or a folder within could not be read. */
typedef struct tw_media_paths {
    const char **at;
    size_t count;
} tw_media_paths;
tw_status tw_media_scan(tw_arena *arena, const char *folder, tw_diags *diags, tw_media_paths *out);

/* What matching needs to know of a file. */
typedef struct tw_media_file {
    tw_str path;
    tw_str reel; /* written into it, or said of it by a person */
    tw_rate rate;
    bool has_start;
    int64_t start, frames; /* at `rate`; frames 0: not known, taken as endless */
    int32_t width, height;
    bool still;
    bool sound; /* holds some */
    bool proxy; /* said to be one, or its path does: a folder or name with "proxy" or "proxies" in it */
} tw_media_file;

/* From what a file holds; `rate` is for sound, which has none of its own. */
tw_media_file tw_media_file_of(const tw_media_info *info, tw_rate rate);

/* A stretch of source somebody wants to see. */
typedef struct tw_media_want {
    const tw_str *names; /* what it is called, best first: reel, file name ... */
    size_t name_count;
    int64_t in, out; /* source frames, half open */
    tw_rate rate;    /* that counts them */
    bool sound;      /* wants to hear it: files without sound do not count, else files without pictures do not */
    bool has_base;   /* the edit says which source frame its file begins with: for files that do not */
    int64_t base;
} tw_media_want;

typedef enum tw_media_miss {
    TW_MISS_NONE,   /* found */
    TW_MISS_NAME,   /* no file is called so */
    TW_MISS_TIME,   /* some are, but hold other times: the nearest is in `near` */
    TW_MISS_NO_TIME /* one is, but holds no time code, and its length does not fit: `near` */
} tw_media_miss;

#define TW_MEDIA_NONE SIZE_MAX

typedef struct tw_media_match {
    tw_media_miss miss;
    size_t original; /* the largest that is no proxy; TW_MEDIA_NONE when there are proxies alone */
    size_t proxy;    /* the smallest of those that hold the same, if smaller than the original; else NONE */
    bool whole;      /* all of the stretch is there */
    size_t near;
    size_t rival; /* for pictures: another file that might as well be the one, and is no copy of it; else NONE */
} tw_media_match;

/* Which files hold the stretch. A file belongs to a name when the reel written into it is that name, or its own name
 * is it or begins with it, or its folder has it; then its times decide. Names are compared in any case; a name of eight
 * characters may be the cut-off beginning of a reel without its separators, as text lists have it. */
tw_media_match tw_media_find(const tw_media_file *files, size_t count, const tw_media_want *want);

/* Does the file belong to the names at all? */
bool tw_media_named(const tw_media_file *file, const tw_str *names, size_t count);

/* The frame of the file that shows a source frame (fractions are cut off); may lie outside the file. */
int64_t tw_media_frame_of(const tw_media_file *file, const tw_media_want *want, double source_frame);

#ifdef __cplusplus
}
#endif
#endif
