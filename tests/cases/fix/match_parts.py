"""One part of each sort that fits in every property, so that a test changes one of them."""

from __future__ import annotations

from tests.library import load

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
FITTING = {
    "motor": """part=axis fed=drive sort=servo/servo volts=200/200 ampere=9/8 most_rpm=3000/3000
        speed_rpm=3000 cycle=3,0.2;1,0.5;-2,0.2;0,0.6 continuous_nm=1.5 peak_nm=3
        motor_peak_ampere=8 volts_per_krpm=50 motor_inertia_kg_cm2=12 drive_continuous_ampere=2
        drive_peak_ampere=6 bus_volts=565 moved_kg=500 pitch_mm=10 poles=8/8
        feedback=sine/sine counts=2048/2048 feedback_volts=5/5 thermal=ptc/ptc brake=yes/yes
        brake_current=dc/dc brake_volts=24/24 brake_nm=10/12
        mounting=IMB5/imb5 pilot_mm=110/110 circle_mm=130/130
        shaft_mm=24/24 shaft_long_mm=50/50 key=key/key mass_kg=18/19 enclosure=IP54/IP65
        insulation_class=F/H cooling=none/none duty=S1/S1""",
    "drive": """part=axis drive_volts=400 supply_phases=3 has_phases=3 has_low_volts=380
        has_high_volts=480 has_bus_volts=565 ampere=20/24 peak_ampere=40/48 limit_ampere=50/45
        sort=servo/servo feedback=resolver/resolver thermal=ptc/ptc
        brake_current=dc/dc brake_volts=24/24 command=bus/bus protocol=ring2/Ring2
        torque_off=yes/yes torque_off_level=d/d encoder_out=yes/yes ready=yes/yes
        wide_mm=100/90 high_mm=400/400 deep_mm=250/240 cooling=own/own firmware=v3/V3
        volts_per_krpm=50 speed_rpm=3000 load_kg_m2=0.02 stop_s=1 stops_per_hour=60
        has_brake_peak_watt=2000 has_brake_watt=50 resistor_ohm=40 has_least_ohm=30
        short_circuit_ka=5/10 feedback_volts=5/5 lost_watt=80/60 settings_kept=yes""",
    "contactor": """ampere=9/ category=AC-3 has_ratings=AC-1_25;AC-3_9 volts=400/690 poles=3/3
        make_contacts=1/2 break_contacts=1/1 mirror=no/no lock=no/no coil_volts=24/24
        coil_kind=dc/both coil_ampere=0.5/0.2 suppression=diode/diode coordination=1/2
        mounting=rail/rail wide_mm=50/45 high_mm=90/90 deep_mm=100/95 starts_per_hour=60/300
        coil_hz=50/50""",
    "relay": """sort=control/control load_ampere=1 category=DC-13 has_ratings=DC-13_2 volts=24/24
        changeovers=2/2 make_contacts=0/0 break_contacts=0/0 guided=no/no coil_volts=24/24
        coil_kind=dc/dc coil_ampere=0.1/0.05 suppression=diode/diode pins=14blade/14blade
        wide_mm=30/28 high_mm=60/60 least_load_ampere=0.005/0.001""",
    "match_overload": """ampere=8.5/ has_low_ampere=6 has_high_ampere=9 class=10/10 reset=hand/both
        start_s=3 set_ampere=8.5 lost_phase=yes/yes make_contacts=1/1 break_contacts=1/1
        fuse_ampere=25/35 mounting=rail/rail warm_cabinet=yes/yes""",
    "match_belt": """sort=toothed/toothed profile=8M/8m teeth=125/125 tooth_mm=8/8 marks=x/X
        width_mm=30/30 pulley_wide_mm=32 driver_teeth=24 driven_teeth=48 centre_low_mm=345
        centre_high_mm=360 speed_rpm=3000 power_kw=5 service_factor=1.4 has_power_kw=8
        has_most_m_s=40 has_least_pulley_mm=60 has_span_newton=500 shaft_most_newton=1200
        oil=yes/yes high_c=60/80 static=yes/yes""",
    "match_bearing": """type=angular/angular bore_mm=70/70 outside_mm=110/110 width_mm=20/20
        set=back_to_back/universal whole_set=yes has_rating_kn=30 load_kn=5 speed_rpm=1500
        wanted_hours=2400 has_most_rpm=9000 angle_deg=15/15 precision=P4/P4 preload=light/light
        preload_newton=100/105 gap=CN/CN balls=steel/steel cage=phenolic/phenolic static_kn=20/22
        seal=open/open grease=A/a marks=x/X""",
    "hose": """part=hydraulic bore_mm=12.5/12.7 bar=70/100 has_burst_bar=400 length_mm=1000/1050
        low_c=0/-20 high_c=60/100 fluid=mineral/mineral bend_mm=180/130 end_one=G1/2/G1/2
        end_two=M22/m22 sleeve=yes/yes suction=yes/yes static=yes/yes litre_min=30
        has_age_years=1""",
    "cell": """saved=yes sort=thionyl/thionyl volts=3.6/3.6 ends=wires/wires cells=1/1 mah=2000/2400
        plug=white2/white2 diameter_mm=15/14.5 length_mm=50/50.5 cell_ua=20 wanted_years=5
        has_age_years=1 manual=on measured_volts=3.5""",
    "lamp": """lm=800/900 volts=24/24 current=dc/dc watt=60/9 enclosure=IP65/IP65 glass=yes/yes
        mounting=2holes/2holes ra=80/90 colour_k=4000/4500 has_flicker_hz=0""",
    "display": """signal=vga/vga sync=two/two dots=640/800 lines=480/600 volts=24/24 ampere=2/1
        seen_mm=264/264 wide_mm=300/290 high_mm=250/240 deep_mm=120/50 mounting=4holes/4holes
        enclosure=IP54/IP65 touch=no/no frames_hz=59.94 whole_lines=525 whole_dots=800
        has_low_khz=30 has_high_khz=80 has_low_frames_hz=50 has_high_frames_hz=75
        has_clock_mhz=80""",
}  # fmt: skip


def typed(words: str) -> dict[str, str]:
    """``kw=5/6`` is needed and offered, ``kw=5`` the field itself; ``_`` in a value a space."""
    made: dict[str, str] = {}
    for word in words.split():
        name, _, value = word.partition("=")
        needs, slash, has = value.partition("/")
        if name.startswith("end_") and value.count("/") == 3:  # threads have strokes of their own
            needs, has = value[: len(value) // 2], value[len(value) // 2 + 1 :]
        if slash:
            made |= {f"need_{name}": needs, f"has_{name}": has}
        else:
            made[name] = value
    return {
        name: value.replace("_", " ") if name in ("has_ratings",) else value
        for name, value in made.items()
        if value and name != "has_ampere_"
    }


def fitting(id: str, *changes: str) -> dict[str, str]:
    """The part that fits, some of its fields typed anew; ``name=`` takes one away."""
    made = typed(FITTING[id])
    for change in changes:
        name, _, value = change.partition("=")
        made[name] = value
    return made


def matched(id: str, *changes: str) -> Reckoning:
    return answered(method(id), fitting(id, *changes), CAUTIONS)


def rows(made: Reckoning) -> dict[str, tuple[str, str, str]]:
    """Needed, offered and whether it fits, by property."""
    listing = next(one for one in made.listings if one.title == "Property by property")
    return {str(r[0]): (str(r[1]), str(r[2]), str(r[4])) for r in listing.rows}
