/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/edl.h - SMPTE ST 258 style text edit decision lists.
 *
 * Reading never trusts columns, only words. A list does not state its rate: the caller's is used (tw_read_options),
 * else the evidence in the list is weighed (frame numbers, agreement of source and record lengths) and the choice is a
 * finding. Errors leave out the event and reading goes on, so that one run tells all; then no timeline is given.
 * Picture is on one video track per V number, sound on one audio track per channel; the items of one event share its
 * number, and its remarks and markers stand with its picture, or with its first sound channel.
 *
 * A zero-length first line of a transition is no item when the clip before it simply runs on. When it shows something
 * else (black, another clip) it is a clip of no length before the transition. The foreground of a key lies on a track
 * of its own above its background ("V key").
 *
 * Writing a timeline that was read from a list gives the list's own bytes, with our remarks added after the remarks of
 * their events and the stamp after the header:
 *   * TALLWIDE DELIVERY tall 1080X1920 MASTER 0123456789abcdef PLAN 0123456789abcdef
 *   * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 [FIT] [SQUEEZE 2.0] [KEYS BEZIER|KEYS LINEAR] [FROM]
 *   * TALLWIDE KEY 48 X 1665.000 Y 0.000 W 2430.000 EASE 7
 * (FROM: of the outgoing side of the pair above, when its first line has a length.) Remarks of ours that the list held
 * before are replaced. Leaving out every line that begins with "* TALLWIDE", each with its line end, gives the master
 * back byte for byte. In a list whose last line has no line end, our remarks stand before that line when it is a
 * remark, so that the same holds; when it is an event line they follow it, the last of them without a line end, and the
 * line end before them goes with them.
 *
 * Any other timeline becomes new lists in the classic columns, one per picture track, sound with the first; every loss
 * is a finding (TW1230, TW1234, TW125x). A source that counts otherwise than the list gets a remark with its rate:
 *   * TALLWIDE RATE 48/1 [FROM]
 * which is read before the event's times, and is part of the list from then on: it is kept like the list's own lines.
 */
#ifndef TALLWIDE_EDL_H
#define TALLWIDE_EDL_H

#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* The format's row: reads and writes through tw_format (tallwide/timeline.h). */
extern const tw_format tw_format_edl;

#ifdef __cplusplus
}
#endif
#endif
