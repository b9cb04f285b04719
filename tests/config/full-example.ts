/** The whole contract of homeleg.yaml, as the design prints it. */
export const FULL_EXAMPLE = `aircraft:                       # or a path to a file holding these keys; likewise for every section
  name: trainer
  battery: { capacity: 5200 mAh, nominal_voltage: 14.8 V, cells: 4, cell_floor: 3.4 V }
  speeds: { recovery: 10 m/s, climb: 3 m/s, descent: 3 m/s, landing: 0.8 m/s }   # recovery = air speed on the way home
  drain: { hover: 4 %/min, climb: 6 %/min, cruise: 5 %/min, descent: 3.5 %/min, spread: 10 % } # one of drain, power, endurance, body
settings:
  recovery_height: 50 m
  recovery_height_above: recovery-point   # or take-off
  lost_link_action: return      # return | land | hold
  trigger_delay: 3 s
  turn_time: 3 s
  slow_height: 5 m              # the last metres of the descent, at the landing speed
  near: { radius: 10 m, action: land }    # optional; land | level (stay at height, fly to R, land) | climb
recovery_point: { latitude: 47.1, longitude: 8.2 }      # or a list of { at: 00:05:10, latitude, longitude }; overrides inference, not the log
operator: at-takeoff            # each flight's own take-off; or { latitude, longitude }; or { track: phone.gpx }
wind: { speed: 5 m/s, from: 270 deg, gust: 8 m/s, height: 10 m, shear: 0.143 }   # where it blows from, true
site:
  terrain: { file: hill.tif, surface: false, error: 0 m }     # or flat
  obstacles: [ masts.geojson ]  # [] = declared: none; absent = unknown. The same for zones
  zones: [ zones.geojson ]      # properties.zone: cover | water | keep-out | no-landing
  default_heights: { trees: 20 m, woods: 25 m, power_line: 30 m, level: 3.5 m }
policy:
  touchdown_floor: 10 %         # ·
  touchdown_reserve: 25 %       # common practice, no source
  low_battery_floor: 25 %       # common practice, no source
  upper: 90 %                   # · one-sided level of the upper need
  clearance: 10 m               # ·
  corridor: 8 m                 # · half-width for navigation error
  adrift: { thin: 15 m, fail: 30 m, away: 90 deg }   # ·
  at_hand: 15 m                 # ·
  hold_within: 50 m
  least_ground_speed: 1 m/s     # ·
  fix: { satellites: 8, hdop: 4, least_satellites: 4, jump: 50 m/s, satellites_at_start: 12 }   # ·, the last: common practice, no source
  height_before_point: 30 m     # common practice, no source
  legal_height: 120 m           # above ground; UAS.OPEN.010, 14 CFR 107.51 (400 ft); local rules decide
  link: 30 %                    # ·
  link_for: 3 s                 # ·
  action_within: 10 s           # ·
  action_signs: { vertical: 0.5 m/s, still: 1 m/s, homeward: 45 deg }   # ·
  cell_sag: { margin: 0.1 V, mean_over: 3 s, known: 0.95 }   # ·
  turnback_late: 10 s           # ·
  turnback_beyond: 50 m         # ·
  reserve_floor_for: 15 s       # ·
  record_gap: { thin: 2 %, fail: 20 % }          # ·
  slope: 10 deg                 # ·
  shortest_stretch: 1 s         # ·
  shortest_flight: 10 s         # ·
  longest_gap: 5 s              # ·
  coverage_floor: 0.5           # ·
  conduct_points: { thin: 2, fail: 6 }           # ·
  signoff: { flights: 5, minutes: 60, score: 80, coverage: 0.8, must_be_clear: [reserve-short, ceiling-low], within: 90 d }
rules: { link-fading: { off: "no link column in this fleet" } }   # an off rule counts as unknown, the reason is repeated
columns: { battery: { column: "Pack", unit: "%" }, time: "T" }
reading: { rows: 3e6, log: 2 GB, map: 200 MB, terrain: 1 GB, heights: 6e7 }   # of one file, before it is refused
`;
