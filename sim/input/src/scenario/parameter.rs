//! Every uncertain number of a scenario in one list, so that one loop can vary them all.

use super::{PreloadSource, Scenario, Vary};

/// One uncertain number.
pub struct Parameter<'a> {
    /// Its number, the same in every scenario and version: random draws go by it.
    pub number: u32,
    /// The key in the person's files: `slide.drag`.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// The shop test that measures it, if one does.
    pub test: Option<&'static str>,
    /// The number itself.
    pub value: &'a mut dyn Vary,
}

const REVERSAL: Option<&str> = Some("test 1, reversal");
const FOOT: Option<&str> = Some("test 2, foot");
const LOOSE: Option<&str> = Some("test 3, which part is loose");
const DRAG: Option<&str> = Some("test 4, drag");
const SPRING: Option<&str> = Some("test 5, push-pull spring");
const BAR: Option<&str> = Some("test 6, bar tip");
const TRUE: Option<&str> = Some("test 7, guide true");
const TAKEN: Option<&str> = Some("test 10, set against taken");

impl Scenario {
    /// What the shop calls each number of the lathe that was measured, beside what gave it,
    /// those of one source together.
    pub fn measured_in_words(&self) -> Vec<(String, Vec<String>)> {
        let mut all: Vec<(String, Vec<String>)> = Vec::new();
        let mut scenario = self.clone();
        let parameters = scenario.parameters_mut();
        for measured in &self.lathe.measured {
            let parameter = parameters
                .iter()
                .find(|parameter| parameter.key == measured.key);
            let words = parameter.map_or(measured.key.as_str(), |parameter| parameter.words);
            match all.iter_mut().find(|(by, _)| *by == measured.by) {
                Some((_, numbers)) => numbers.push(words.to_owned()),
                None => all.push((measured.by.clone(), vec![words.to_owned()])),
            }
        }
        all
    }

    /// Every uncertain number, lathe first, in a fixed order. A new one takes the next free
    /// number, wherever it stands; a number is never used again for something else. Parts that
    /// a measured total overrides are left out, for they change nothing.
    pub fn parameters_mut(&mut self) -> Vec<Parameter<'_>> {
        let mut parameters = Vec::with_capacity(48);
        let mut add = |number, key, words, test, value| {
            parameters.push(Parameter {
                number,
                key,
                words,
                test,
                value,
            });
        };
        let a = &mut self.lathe.attachment;
        let parts = a.total_slack.is_none();
        add(
            1,
            "attachment.foot_slack",
            "slack of foot and rod",
            FOOT,
            &mut a.foot_slack as &mut dyn Vary,
        );
        add(
            2,
            "attachment.foot_spring",
            "spring of foot and rod",
            FOOT,
            &mut a.foot_spring,
        );
        add(
            3,
            "attachment.bar_drag",
            "drag of the guide bar on the carriage",
            FOOT,
            &mut a.bar_drag,
        );
        if parts {
            add(
                4,
                "attachment.shoe_slack",
                "slack of the shoe on the guide",
                LOOSE,
                &mut a.shoe_slack,
            );
            add(
                5,
                "attachment.thrust_slack",
                "end float of the screw",
                LOOSE,
                &mut a.thrust_slack,
            );
            add(
                6,
                "attachment.nut_slack",
                "backlash of the cross nut",
                LOOSE,
                &mut a.nut_slack,
            );
        }
        if let Some(total) = &mut a.total_slack {
            add(
                7,
                "attachment.slack",
                "all slack along the cross-slide",
                REVERSAL,
                total,
            );
        }
        if a.drive_spring.is_none() {
            add(
                8,
                "attachment.shoe_spring",
                "spring of shoe and guide bar",
                SPRING,
                &mut a.shoe_spring,
            );
            add(
                9,
                "attachment.screw_spring",
                "spring of thrust bearing, screw and nut",
                SPRING,
                &mut a.screw_spring,
            );
        }
        add(
            10,
            "attachment.screw_push_share",
            "screw pushed against pulled",
            SPRING,
            &mut a.screw_push_share,
        );
        if let Some(drive) = &mut a.drive_spring {
            add(
                11,
                "attachment.drive_spring",
                "spring of the whole drive",
                SPRING,
                drive,
            );
        }
        add(
            12,
            "attachment.guide_travel",
            "usable travel of the guide",
            None,
            &mut a.guide_travel,
        );
        add(
            13,
            "attachment.steepest",
            "steepest taper of the guide",
            None,
            &mut a.steepest,
        );
        add(
            14,
            "attachment.guide_end",
            "guide's end from its pivot",
            None,
            &mut a.guide_end,
        );
        add(
            15,
            "attachment.setting_error",
            "setting of the guide",
            TRUE,
            &mut a.setting_error,
        );
        add(
            48,
            "attachment.guide_bow",
            "bow of the guide",
            TRUE,
            &mut a.guide_bow,
        );

        let s = &mut self.lathe.slide;
        add(
            16,
            "slide.drag",
            "drag of the cross-slide",
            DRAG,
            &mut s.drag,
        );
        add(
            17,
            "slide.breakaway",
            "drag to start it over drag to keep it moving",
            DRAG,
            &mut s.breakaway,
        );
        add(
            18,
            "slide.weight",
            "weight on the cross-slide ways",
            None,
            &mut s.weight,
        );
        add(
            19,
            "slide.friction",
            "friction of the ways",
            DRAG,
            &mut s.friction,
        );
        add(
            20,
            "slide.side_friction",
            "friction at the side of the ways",
            None,
            &mut s.side_friction,
        );
        add(
            21,
            "slide.overhang",
            "overhang of the slide",
            None,
            &mut s.overhang,
        );
        add(
            22,
            "slide.drag_left_cutting",
            "drag left while cutting",
            DRAG,
            &mut s.drag_left_cutting,
        );
        add(
            23,
            "slide.drag_change",
            "change of drag along the stroke",
            DRAG,
            &mut s.drag_change,
        );
        add(
            24,
            "slide.gib_slack",
            "side slack at the gib",
            BAR,
            &mut s.gib_slack,
        );
        add(
            25,
            "slide.gib_length",
            "guided length of the slide",
            None,
            &mut s.gib_length,
        );
        add(
            26,
            "slide.travel",
            "travel of the slide",
            None,
            &mut s.travel,
        );

        add(
            27,
            "top_slide.slack",
            "backlash of the top slide",
            LOOSE,
            &mut self.lathe.top_slide.slack,
        );
        add(
            28,
            "top_slide.spring",
            "spring of top slide and post",
            SPRING,
            &mut self.lathe.top_slide.spring,
        );
        add(
            29,
            "spindle.spring",
            "spring of spindle and chuck",
            BAR,
            &mut self.lathe.spindle.spring,
        );
        add(
            30,
            "tailstock.spring",
            "spring of the tailstock centre",
            BAR,
            &mut self.lathe.tailstock_spring,
        );
        add(
            31,
            "readout.step",
            "step of the readout",
            None,
            &mut self.lathe.readout_step,
        );

        let job = &mut self.job;
        add(
            32,
            "work.run_out",
            "run-out of the start surface",
            None,
            &mut job.work.run_out,
        );
        add(
            33,
            "work.ovality",
            "out-of-round of the start surface",
            None,
            &mut job.work.ovality,
        );
        add(
            34,
            "work.lobing",
            "lobes left by the jaws",
            None,
            &mut job.work.lobing,
        );
        add(
            35,
            "cutting.specific_force",
            "how hard the material cuts",
            TAKEN,
            &mut job.cutting.specific_force,
        );
        add(
            36,
            "cutting.push_ratio",
            "push-off against main force",
            TAKEN,
            &mut job.cutting.push_ratio,
        );
        add(
            37,
            "cutting.edge_force",
            "push of the edge itself",
            TAKEN,
            &mut job.cutting.edge_force,
        );
        add(
            38,
            "cutting.unevenness",
            "hard and soft places in the material",
            None,
            &mut job.cutting.unevenness,
        );
        add(
            39,
            "cutting.patch",
            "size of the hard and soft places",
            None,
            &mut job.cutting.patch,
        );
        add(
            40,
            "tool.edge_radius",
            "roundness of the cutting edge",
            None,
            &mut job.tool.edge_radius,
        );
        add(
            41,
            "tool.height",
            "height of the tool",
            None,
            &mut job.tool.height,
        );
        if let Some(bar) = &mut job.tool.bar {
            add(
                42,
                "tool.bar.holder_factor",
                "hold of the boring bar",
                BAR,
                &mut bar.holder_factor,
            );
            add(
                49,
                "tool.swing_left",
                "swing of the bar left at touch-off",
                BAR,
                &mut job.tool.swing_left,
            );
        }
        match job.preload.as_mut().map(|preload| &mut preload.source) {
            None => {}
            Some(PreloadSource::Constant(force)) => {
                add(43, "preload.constant", "force of the preload", None, force);
            }
            Some(PreloadSource::Spring { force, rate }) => {
                add(
                    44,
                    "preload.spring",
                    "force of the preload spring",
                    None,
                    force,
                );
                add(45, "preload.rate", "rate of the preload spring", None, rate);
            }
            Some(PreloadSource::Cylinder {
                pressure,
                seal_share,
                ..
            }) => {
                add(
                    46,
                    "preload.cylinder.pressure",
                    "air pressure",
                    None,
                    pressure,
                );
                add(
                    47,
                    "preload.cylinder.seal_share",
                    "drag of the cylinder's seals",
                    None,
                    seal_share,
                );
            }
        }
        parameters
    }

    /// The uncertain numbers that only the ways without the attachment know, in a fixed order.
    /// They share the row of numbers with the others, and stand apart so that no trial of the
    /// attachment's ways moves them for nothing.
    pub fn method_parameters_mut(&mut self) -> Vec<Parameter<'_>> {
        let mut parameters = Vec::with_capacity(12);
        let mut add = |number, key, words, value| {
            parameters.push(Parameter {
                number,
                key,
                words,
                test: None,
                value,
            });
        };
        let tailstock = &mut self.lathe.tailstock;
        add(
            50,
            "tailstock.setover",
            "how far the tailstock goes over",
            &mut tailstock.setover as &mut dyn Vary,
        );
        add(
            51,
            "tailstock.setover_error",
            "setting of the tailstock",
            &mut tailstock.setover_error,
        );
        add(
            52,
            "tailstock.centre_height",
            "height of the tailstock's centre",
            &mut tailstock.centre_height,
        );
        add(
            53,
            "tailstock.seating",
            "where the work bears on its centres",
            &mut tailstock.seating,
        );
        let top_slide = &mut self.lathe.top_slide;
        add(
            54,
            "top_slide.travel",
            "travel of the top slide",
            &mut top_slide.travel,
        );
        add(
            55,
            "top_slide.graduation",
            "degree marks of the top slide",
            &mut top_slide.graduation,
        );
        add(
            56,
            "top_slide.setting",
            "setting of the top slide by indicator",
            &mut top_slide.setting,
        );
        add(
            57,
            "top_slide.gib_slack",
            "slack of the top slide's gib",
            &mut top_slide.gib_slack,
        );
        add(
            58,
            "top_slide.hand_feed",
            "evenness of the feed by hand",
            &mut top_slide.hand_feed,
        );
        if self.job.tool.bar.is_none() {
            // With a bar it stands among the others.
            add(
                49,
                "tool.swing_left",
                "slack of the top slide's gib left at touch-off",
                &mut self.job.tool.swing_left,
            );
        }
        if let Some(between) = &mut self.job.work.between_centres {
            add(
                59,
                "work.between_centres",
                "length between centres",
                between,
            );
        }
        parameters
    }
}
