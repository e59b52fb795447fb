/* SPDX-License-Identifier: Apache-2.0
 *
 * Running ffprobe on a file.
 */
#define _POSIX_C_SOURCE 200809L
#include "media/media_internal.h"

#include <string.h>
#include <sys/stat.h>

#define PRINT_LIMIT ((size_t)4 << 20) /* bytes ffprobe may print: a file can hold many tags */

const char *twi_media_ffmpeg(const tw_media_tools *tools)
{
    return tools->ffmpeg != NULL ? tools->ffmpeg : "ffmpeg";
}

static const char *ffprobe_of(const tw_media_tools *tools)
{
    return tools->ffprobe != NULL ? tools->ffprobe : "ffprobe";
}

void twi_media_decode(twi_args *args, const tw_media_tools *tools, const char *level)
{
    twi_args_add(args, twi_media_ffmpeg(tools));
    twi_args_list(args, (const char *const[]){"-nostdin", "-hide_banner", "-nostats", "-loglevel", level,
                                              "-protocol_whitelist", "file", NULL});
}

void twi_media_input(twi_args *args, const tw_media_info *info, int32_t stream)
{
    twi_args_add(args, "-i");
    twi_args_addf(args, "file:%.*s", TW_ARG(info->path));
    twi_args_add(args, "-map");
    twi_args_addf(args, "0:%d", stream);
}

/* What usually happened to a file that cannot be read: its copy was not finished. */
static const char *why_unread(const char *path, const twi_child *child)
{
    struct stat st;
    tw_str said = child != NULL ? twi_child_said(child) : (tw_str){NULL, 0};
    if (stat(path, &st) == 0 && S_ISREG(st.st_mode) && st.st_size == 0)
        return "is empty: 0 bytes";
    /* the table of contents of QuickTime and MP4, which a camera or a copy writes last */
    if (tw_str_glob(TW_STR("*moov atom not found*"), said))
        return "is cut off, or no film: the list of its pictures is missing";
    return NULL;
}

/* All that a program prints. */
static twi_child_fault print(tw_arena *arena, const twi_child_ask *ask, tw_buf *out, twi_child **child)
{
    twi_child_fault fault = twi_child_start(arena, ask, child);
    return fault == TWI_CHILD_FINE ? twi_child_collect(*child, PRINT_LIMIT, out) : fault;
}

tw_status tw_media_probe(tw_arena *arena, const tw_media_tools *tools, const char *path, tw_diags *diags,
                         tw_media_info *out)
{
    static const char *const words[] = {"-v",   "level+error",  "-protocol_whitelist", "file", "-of",
                                        "json", "-show_format", "-show_streams",       "-i",   NULL};
    tw_arena *scratch = tw_arena_like(arena);
    twi_args args = {.arena = scratch};
    twi_args_add(&args, ffprobe_of(tools));
    twi_args_list(&args, words);
    twi_args_addf(&args, "file:%s", path);
    const twi_child_ask ask = {.args = &args, .stop = tools->stop};
    twi_child *child = NULL;
    tw_buf json = {.arena = scratch};
    twi_child_fault fault = print(scratch, &ask, &json, &child);
    const char *why = fault == TWI_CHILD_FAILED ? why_unread(path, child) : NULL;
    tw_status status = twi_child_tell(fault, why != NULL ? NULL : child, args.at[0], 2102, tw_str_z(path),
                                      why != NULL ? why : "cannot be read", diags);
    twi_child_end(&child);
    if (status == TW_OK)
        status = tw_media_read_probe(arena, tw_buf_str(&json), tw_str_z(path), diags, out);
    else if (fault == TWI_CHILD_FAILED)
        status = TW_ERR_SEMANTIC;
    tw_arena_free(&scratch);
    return status;
}

/* ---- the programs ---------------------------------------------------------------------------------------- */

static twi_child_fault run(tw_arena *arena, const tw_media_tools *tools, const char *program, const char *word,
                           tw_buf *out)
{
    twi_args args = {.arena = arena};
    twi_args_list(&args, (const char *const[]){program, "-v", "error", "-hide_banner", word, NULL});
    const twi_child_ask ask = {.args = &args, .stop = tools->stop};
    twi_child *child = NULL;
    twi_child_fault fault = print(arena, &ask, out, &child);
    twi_child_end(&child);
    return fault;
}

twi_child_fault twi_media_has_h264(tw_arena *arena, const tw_media_tools *tools, bool *has)
{
    tw_buf list = {.arena = arena};
    twi_child_fault fault = run(arena, tools, twi_media_ffmpeg(tools), "-encoders", &list);
    tw_buf_addc(&list, '\0');
    *has = strstr(list.at, " libx264 ") != NULL;
    return fault;
}

static bool can_be_run(twi_child_fault fault, const char *program, tw_diags *diags)
{
    return twi_child_tell(fault == TWI_CHILD_FAILED ? TWI_CHILD_ABSENT : fault, NULL, program, 2101, tw_str_z(program),
                          "cannot be run", diags) == TW_OK;
}

tw_status tw_media_ready(tw_arena *arena, tw_media_tools *tools, tw_diags *diags)
{
    bool better = false;
    tw_buf version = {.arena = arena};
    const char *probe = ffprobe_of(tools);
    bool fine = can_be_run(twi_media_has_h264(arena, tools, &better), twi_media_ffmpeg(tools), diags) &&
                can_be_run(run(arena, tools, probe, "-version", &version), probe, diags);
    tools->coders = !fine ? TW_CODERS_UNKNOWN : better ? TW_CODERS_H264 : TW_CODERS_PLAIN;
    return fine ? TW_OK : TW_ERR_IO;
}
